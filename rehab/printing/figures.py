"""A figure as vectors on paper: the same primitives as on the page, in black on white."""

import io
from dataclasses import dataclass
from functools import cache

from django.utils.translation import gettext
from reportlab.lib.colors import Color, HexColor, white
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable, Table

from cases.clinical.drawing import Circle, Figure, Line, Outline, Point, Primitive, Role

from .paper import Paper, Styles
from .pieces import BARE, INK, SOFT, para

NONZERO = 1
# A position is recognized at 40 mm; beside a figure in large type there is less room.
WIDTH_MM, LARGE_MM, BESIDE_MM, GAP_MM = 40, 52, 26, 3


@dataclass(frozen=True, kw_only=True)
class Pen:
    """How a role is drawn; widths in units of the figure's box."""

    edge: float
    line: float
    color: Color = INK
    fill: Color | None = white
    dashes: tuple[float, ...] = ()


# The edge of an outline is drawn under its fill, so half of its width is seen.
# fmt: off
PENS = {
    Role.COVER:  Pen(edge=0,   line=0),
    Role.BODY:   Pen(edge=4.4, line=2.2, color=SOFT),
    Role.LIMB:   Pen(edge=6.4, line=3.2),
    Role.PALM:   Pen(edge=1.8, line=1.8, fill=None),
    Role.NAIL:   Pen(edge=1.8, line=1.8, fill=None),
    Role.OTHER:  Pen(edge=4.4, line=2.2),
    Role.HELPER: Pen(edge=5,   line=2.5, fill=HexColor("#e6eaea")),
    Role.THING:  Pen(edge=4.4, line=2.2),
    Role.BAND:   Pen(edge=5,   line=5),
    Role.DETAIL: Pen(edge=1.8, line=1.8, fill=None),
    Role.LENS:   Pen(edge=3,   line=1.5, color=SOFT),
    Role.FORCE:  Pen(edge=2,   line=7,   fill=INK),
    Role.MOTION: Pen(edge=1,   line=4,   fill=INK, dashes=(9, 8)),
    Role.SPOT:   Pen(edge=5,   line=5,   fill=None),
}
# fmt: on


class Drawing(Flowable):
    """A figure `width_mm` millimeters wide."""

    def __init__(self, figure: Figure, width_mm: float):
        super().__init__()
        self.figure = figure
        self.scale = width_mm * mm / figure.box[0]

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        across, down = self.figure.box
        return across * self.scale, down * self.scale

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        # The figure counts downward, paper upward.
        canvas.transform(self.scale, 0, 0, -self.scale, 0, self.figure.box[1] * self.scale)
        canvas.addLiteral(_operators(self.figure))
        canvas.restoreState()


def drawing(figure: Figure, width_mm: float) -> Drawing:
    """Return the figure as a flowable. Raises ValueError for a width that is not positive."""
    if width_mm <= 0:
        raise ValueError(f"a figure can't be {width_mm} mm wide")
    return Drawing(figure, width_mm)


def start_and_end(positions: tuple[Figure, Figure], look: Styles, paper: Paper) -> Table:
    """Return start and end of an exercise in one line, each with its word below."""
    width = LARGE_MM if paper.large else WIDTH_MM
    words = gettext("Start"), gettext("End")
    cells = [
        [drawing(figure, width), para(word, look.note_head)]
        for figure, word in zip(positions, words, strict=True)
    ]
    return Table([cells], colWidths=[(width + GAP_MM) * mm] * 2, style=BARE, hAlign="LEFT")


def beside(first: Flowable, positions: tuple[Figure, Figure], paper: Paper) -> Table:
    """Return `first` with small drawings of start and end to its right, without words."""
    each = (BESIDE_MM + GAP_MM) * mm
    drawings = [drawing(figure, BESIDE_MM) for figure in positions]
    widths = [paper.column - 2 * each, each, each]
    return Table([[first, *drawings]], colWidths=widths, style=BARE, hAlign="LEFT")


@cache
def _operators(figure: Figure) -> str:
    """What draws a figure, written out once: the same few stand on sheet after sheet."""
    scratch = Canvas(io.BytesIO())
    scratch.setLineJoin(1)
    scratch.setLineCap(1)
    for primitive in figure.primitives:
        _draw(scratch, primitive)
    return scratch.getCurrentPageContent()


def _draw(canvas: Canvas, primitive: Primitive) -> None:
    pen = PENS[primitive.role]
    canvas.setStrokeColor(pen.color)
    if pen.fill is not None:
        canvas.setFillColor(pen.fill)
    match primitive:
        case Line(points=points):
            canvas.setLineWidth(pen.line)
            canvas.setDash(list(pen.dashes), 0)
            canvas.drawPath(_path((points,), closed=False), stroke=1, fill=0)
            canvas.setDash()
        case Circle(center=(x, y), radius=radius):
            canvas.setLineWidth(pen.line)
            canvas.circle(x, y, radius, stroke=1, fill=int(pen.fill is not None))
        case Outline(parts=parts):
            _outline(canvas, _path(parts, closed=True), pen)


def _outline(canvas: Canvas, path: PDFPathObject, pen: Pen) -> None:
    if pen.edge:
        canvas.setLineWidth(pen.edge)
        canvas.drawPath(path, stroke=1, fill=0)
    if pen.fill is not None:
        canvas.drawPath(path, stroke=0, fill=1, fillMode=NONZERO)


def _path(runs: tuple[tuple[Point, ...], ...], *, closed: bool) -> PDFPathObject:
    path = PDFPathObject()
    for (x, y), *others in runs:
        path.moveTo(x, y)
        for point in others:
            path.lineTo(*point)
        if closed:
            path.close()
    return path
