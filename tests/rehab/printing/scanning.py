"""A printed page looked at as a phone does: drawn as a picture, its codes read by another library."""

import pypdfium2
import zxingcpp

INCH = 72
MM = 25.4


def pictures(data: bytes, *, dpi: int) -> list:
    pages = pypdfium2.PdfDocument(data)
    return [page.render(scale=dpi / INCH).to_pil() for page in pages]


def codes_on(data: bytes, *, dpi: int = 200) -> list[tuple[int, bytes]]:
    """The number of the page and the content of every code on the sheet."""
    return [
        (number, bytes(code.bytes))
        for number, picture in enumerate(pictures(data, dpi=dpi), start=1)
        for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    ]


def edges_of(data: bytes, words: str) -> tuple[float, float]:
    """The lower and upper edge of a word of the first page, in points from the foot of the sheet."""
    text = pypdfium2.PdfDocument(data)[0].get_textpage()
    first, count = text.search(words, match_case=True).get_next()
    boxes = [text.get_charbox(place) for place in range(first, first + count)]
    return min(box[1] for box in boxes), max(box[3] for box in boxes)


def white_around(picture, *, dpi: int) -> tuple[float, ...]:
    """How far the paper stays white left of, above, right of and below its one code, in millimeters."""
    (code,) = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    corners = code.position
    left, top = corners.top_left.x, corners.top_left.y
    right, bottom = corners.bottom_right.x, corners.bottom_right.y
    gray = picture.convert("L")

    def clear(beyond: int) -> tuple[bool, ...]:
        """Whether the strips of a pixel, so far out on the four sides, are white."""
        strips = (
            (left - beyond, top, left - beyond + 1, bottom),
            (left, top - beyond, right, top - beyond + 1),
            (right + beyond, top, right + beyond + 1, bottom),
            (left, bottom + beyond, right, bottom + beyond + 1),
        )
        return tuple(gray.crop(strip).getextrema()[0] > 250 for strip in strips)

    # The reader's corners may be a pixel or two inside of the code, so the count begins beyond.
    first = 3
    rings = [clear(beyond) for beyond in range(first, dpi)]
    reach = (next((n for n, ring in enumerate(rings) if not ring[side]), dpi) for side in range(4))
    return tuple((steps + first) / dpi * MM for steps in reach)
