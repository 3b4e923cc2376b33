"""The clinic's logo at the top of the first page of a sheet."""

import io

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing
from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from clinic.drawn_logo import drawing
from clinic.logo import is_png

from . import fonts

HIGHEST, WIDEST = 18 * mm, 50 * mm
# Office printers leave an edge of up to 5 mm white.
UNPRINTED = 5 * mm
# White between the logo and the clinic's name.
BESIDE = 4 * mm


def fitted(
    width: float, height: float, *, highest: float = HIGHEST, grows: bool = False
) -> tuple[float, float]:
    """Return width and height in points of a picture of so many dots, in its own proportion.

    It fills the space for a logo, but unless it `grows`, as a drawing does, a dot is never larger than a
    point: a picture of few dots stays small instead of coarse.
    """
    scale = min(WIDEST / width, highest / height)
    scale = scale if grows else min(scale, 1)
    return width * scale, height * scale


class Letterhead:
    """A logo set to size before the clinic's name, on the same line, or nothing where there is none.

    `above` is what lies above the foot of that line in points: as much of the logo costs no room. Where the
    sheet is turned, its logo has no more than that, so that the days of a diary still fit one page.
    """

    def __init__(self, logo: bytes, *, above: float, turned: bool):
        self.picture = self._picture(logo) if logo else None
        self.above = above
        highest = min(HIGHEST, above - UNPRINTED) if turned else HIGHEST
        self.size = self._fitted(highest)

    @staticmethod
    def _picture(logo: bytes) -> ImageReader | Drawing:
        return ImageReader(io.BytesIO(logo)) if is_png(logo) else drawing(logo)

    def _fitted(self, highest: float) -> tuple[float, float]:
        match self.picture:
            case Drawing(width=width, height=height):
                return fitted(width, height, highest=highest, grows=True)
            case ImageReader() as picture:
                return fitted(*picture.getSize(), highest=highest)
        return (0, 0)

    @property
    def drop(self) -> float:
        """How much lower the first page begins."""
        return max(0, self.size[1] + UNPRINTED - self.above)

    @property
    def indent(self) -> float:
        """How much later on the line the clinic's name begins."""
        return self.size[0] + BESIDE if self.picture else 0

    def draw(self, canvas: Canvas, x: float, page_height: float) -> None:
        bottom = page_height - self.above - self.drop
        match self.picture:
            case Drawing() as drawn:
                self._draw_drawing(canvas, drawn, x, bottom)
            case ImageReader() as picture:
                # mask: what is clear in the picture stays paper.
                canvas.drawImage(picture, x, bottom, *self.size, mask="auto")

    def _draw_drawing(self, canvas: Canvas, drawn: Drawing, x: float, bottom: float) -> None:
        """Draw it to scale, and nothing of it outside its frame."""
        canvas.saveState()
        frame = canvas.beginPath()
        frame.rect(x, bottom, *self.size)
        canvas.clipPath(frame, stroke=0, fill=0)
        canvas.translate(x, bottom)
        canvas.scale(self.size[0] / drawn.width, self.size[1] / drawn.height)
        # A drawing names a type even where it holds no text: let it be one that the sheet carries.
        drawn.initialFontName = fonts.REGULAR
        renderPDF.draw(drawn, canvas, 0, 0)
        canvas.restoreState()
