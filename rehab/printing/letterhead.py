"""The clinic's logo at the top of the first page of a sheet."""

import io

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

HIGHEST, WIDEST = 18 * mm, 50 * mm
# Office printers leave an edge of up to 5 mm white.
UNPRINTED = 5 * mm
# White between the logo and the clinic's name.
BESIDE = 4 * mm


def fitted(width: float, height: float, *, highest: float = HIGHEST) -> tuple[float, float]:
    """Return width and height in points of a picture of so many dots, in its own proportion.

    It fills the space for a logo, but a dot is never larger than a point: a picture of few dots stays small
    instead of coarse.
    """
    scale = min(WIDEST / width, highest / height, 1)
    return width * scale, height * scale


class Letterhead:
    """A logo set to size before the clinic's name, on the same line, or nothing where there is none.

    `above` is what lies above the foot of that line in points: as much of the logo costs no room. Where the
    sheet is turned, its logo has no more than that, so that the days of a diary still fit one page.
    """

    def __init__(self, logo: bytes, *, above: float, turned: bool):
        self.picture = ImageReader(io.BytesIO(logo)) if logo else None
        self.above = above
        highest = min(HIGHEST, above - UNPRINTED) if turned else HIGHEST
        dots = self.picture.getSize() if self.picture else None
        self.size = fitted(*dots, highest=highest) if dots else (0, 0)

    @property
    def drop(self) -> float:
        """How much lower the first page begins."""
        return max(0, self.size[1] + UNPRINTED - self.above)

    @property
    def indent(self) -> float:
        """How much later on the line the clinic's name begins."""
        return self.size[0] + BESIDE if self.picture else 0

    def draw(self, canvas: Canvas, x: float, page_height: float) -> None:
        if self.picture:
            bottom = page_height - self.above - self.drop
            # mask: what is clear in the picture stays paper.
            canvas.drawImage(self.picture, x, bottom, *self.size, mask="auto")
