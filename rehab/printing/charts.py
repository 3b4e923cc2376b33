"""A chart as vectors on paper: the same primitives as on the page, told apart without color.

Office printers are mostly black: stages are grey, the error is hatched, lines differ by their dashes
and marks by their shape.
"""

from dataclasses import dataclass

from reportlab.lib.colors import Color, HexColor, white
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from assessments.charts import Chart, Overview
from assessments.drawing.chart import draw
from assessments.drawing.overview import USUAL, Spacing, draw_overview
from assessments.drawing.primitives import (
    STRONG,
    Anchor,
    Box,
    Drawing,
    Marker,
    Path,
    Point,
    Primitive,
    Rect,
    Role,
    Shape,
    Text,
)
from assessments.drawing.scale import PAPER, Frame

from .fonts import REGULAR, SEMIBOLD, readable
from .pieces import INK, RULE, SOFT

HATCH = 4.0


@dataclass(frozen=True, kw_only=True)
class Pen:
    """How a role is drawn, in points; `hatched` areas are filled with slanting lines."""

    width: float = 0.6
    color: Color = INK
    fill: Color | None = None
    dashes: tuple[float, ...] = ()
    hatched: bool = False


# fmt: off
PENS = {
    Role.STAGE_SHADE: Pen(fill=HexColor("#ececec")),
    Role.ERROR_BAND:  Pen(width=0.35, color=HexColor("#8d8d8d"), hatched=True),
    Role.ERROR_EDGE:  Pen(width=0.5, color=SOFT, dashes=(1.5, 2)),
    Role.GRID:        Pen(width=0.4, color=RULE),
    Role.AXIS:        Pen(width=0.8),
    Role.TARGET:      Pen(width=1.1, dashes=(0.8, 2.6)),
    Role.MARK_LINE:   Pen(width=0.6, dashes=(1.5, 2)),
    Role.MARK:        Pen(fill=INK),
    Role.UNTREATED:   Pen(width=0.8, color=SOFT, fill=white),
    Role.OTHER_SIDE:  Pen(width=1.1, color=SOFT, fill=white, dashes=(5, 3)),
    Role.SLOPE:       Pen(width=0.7),
    Role.SERIES:      Pen(width=1.8),
    Role.POINT:       Pen(width=0.8, color=white, fill=INK),
    Role.VISIT:       Pen(width=0.1, fill=INK),
    Role.SETTLED:     Pen(fill=INK),
    Role.WATCH:       Pen(fill=INK),
    Role.TOO_MUCH:    Pen(fill=INK),
    Role.UNCLASSIFIED: Pen(fill=white),
    Role.LABEL:       Pen(fill=INK),
    Role.VALUE:       Pen(fill=INK),
    Role.NAME:        Pen(fill=INK),
}
# fmt: on


class ChartDrawing(Flowable):
    """A drawing in its own size; its units are points."""

    def __init__(self, drawing: Drawing):
        super().__init__()
        self.drawing = drawing
        for text in drawing.texts:
            readable(text.words)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.drawing.width, self.drawing.height

    def draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        canvas.setLineJoin(1)
        bands = [_box(area) for area in self.drawing.of(Role.ERROR_BAND)]
        for primitive in self.drawing.primitives:
            if isinstance(primitive, Text) and any(primitive.box.meets(band) for band in bands):
                _clear(canvas, primitive.box, self.drawing.height)
            _draw(canvas, primitive, self.drawing.height)
        canvas.restoreState()


def chart_drawing(shown: Chart, frame: Frame = PAPER) -> ChartDrawing:
    """Return the chart as a flowable. Raises CannotPrint for a sign that the type lacks."""
    return ChartDrawing(draw(shown, frame))


def overview_drawing(shown: Overview, spacing: Spacing = USUAL) -> ChartDrawing:
    """Return all measures as a flowable. Raises CannotPrint for a sign that the type lacks."""
    return ChartDrawing(draw_overview(shown, PAPER, spacing))


def _box(area: Rect) -> Box:
    return Box(left=area.x, top=area.y, right=area.x + area.width, bottom=area.y + area.height)


def _clear(canvas: Canvas, box: Box, height: float) -> None:
    """Lighten the ground: words on slanting lines are hard to read."""
    canvas.saveState()
    canvas.setFillColor(white)
    canvas.setFillAlpha(0.8)
    canvas.rect(
        box.left, height - box.bottom, box.right - box.left, box.bottom - box.top, stroke=0, fill=1
    )
    canvas.restoreState()


def _draw(canvas: Canvas, item: Primitive, height: float) -> None:
    """Draw one primitive; a drawing counts downward from `height`, paper upward."""
    pen = PENS[item.role]
    canvas.setStrokeColor(pen.color)
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes), 0)
    if pen.fill is not None:
        canvas.setFillColor(pen.fill)
    match item:
        case Path(points=points):
            _line(canvas, tuple((x, height - y) for x, y in points))
        case Rect():
            _area(canvas, item, height - item.y - item.height, pen)
        case Marker():
            canvas.setDash([], 0)
            _marker(canvas, item, height, pen)
        case Text():
            _text(canvas, item, height - item.y)


def _line(canvas: Canvas, points: tuple[Point, ...], *, closed: bool = False) -> None:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.close()
    canvas.drawPath(path, stroke=int(not closed), fill=int(closed))


def _area(canvas: Canvas, area: Rect, y: float, pen: Pen) -> None:
    if not pen.hatched:
        canvas.rect(area.x, y, area.width, area.height, stroke=0, fill=1)
        return
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(area.x, y, area.width, area.height)
    canvas.clipPath(path, stroke=0, fill=0)
    start = area.x - area.height
    for number in range(int((area.width + area.height) / HATCH) + 1):
        x = start + number * HATCH
        canvas.line(x, y, x + area.height, y + area.height)
    canvas.restoreState()


def _marker(canvas: Canvas, marker: Marker, height: float, pen: Pen) -> None:
    x, y = marker.at
    if marker.shape in (Shape.DOT, Shape.RING):
        canvas.circle(x, height - y, marker.size, stroke=1, fill=1)
        return
    if marker.shape is Shape.HALF:
        size = marker.size
        canvas.circle(x, height - y, size, stroke=1, fill=0)
        canvas.wedge(
            x - size, height - y - size, x + size, height - y + size, 90, 180, stroke=0, fill=1
        )
        return
    corners = tuple((across, height - down) for across, down in marker.corners)
    _line(canvas, corners, closed=True)


def _text(canvas: Canvas, text: Text, y: float) -> None:
    canvas.setFont(SEMIBOLD if text.role in STRONG else REGULAR, text.size)
    words = readable(text.words)
    write = {
        Anchor.START: canvas.drawString,
        Anchor.MIDDLE: canvas.drawCentredString,
        Anchor.END: canvas.drawRightString,
    }[text.anchor]
    write(text.x, y, words)
