"""A chart on paper: the page's words and points, set in the sheet's own type."""

import io
import xml.etree.ElementTree as ET

import pytest
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from assessments.drawing.chart import draw
from assessments.drawing.overview import draw_overview
from assessments.drawing.primitives import Marker, Path, Rect, Role, Text
from assessments.drawing.scale import PAPER
from assessments.drawing.svg import svg
from rehab.printing import fonts
from rehab.printing.charts import PENS, ChartDrawing, chart_drawing, overview_drawing
from rehab.printing.fonts import CannotPrint
from tests.assessments.test_charts import chart, full, overview
from tests.rehab.printing.sheets import fonts_of, sizes_of, text_of

LAYOUTS = [(full(), draw), (chart(), draw), (overview(), draw_overview)]


class Noting(Canvas):
    """A canvas that notes the words and the circles drawn on it."""

    def __init__(self):
        fonts.register()
        super().__init__(io.BytesIO(), initialFontName=fonts.REGULAR)
        self.words, self.centers = [], []

    def drawString(self, x, y, text, *given, **more):
        self.words.append(text)
        super().drawString(x, y, text, *given, **more)

    def drawCentredString(self, x, y, text, *given, **more):
        self.words.append(text)
        super().drawCentredString(x, y, text, *given, **more)

    def drawRightString(self, x, y, text, *given, **more):
        self.words.append(text)
        super().drawRightString(x, y, text, *given, **more)

    def circle(self, x_cen, y_cen, r, **more):
        self.centers.append((x_cen, y_cen))
        super().circle(x_cen, y_cen, r, **more)


@pytest.mark.parametrize(("shown", "layout"), LAYOUTS)
def test_paper_and_page_say_the_same_words_at_the_same_points(shown, layout):
    canvas, drawing = Noting(), layout(shown, PAPER)
    ChartDrawing(drawing).drawOn(canvas, 0, 0)

    page = ET.fromstring(svg(drawing))
    assert canvas.words == [text.text for text in page.iter("text")]
    dots = [(float(dot.get("cx")), float(dot.get("cy"))) for dot in page.iter("circle")]
    assert canvas.centers == [(x, pytest.approx(drawing.height - y, abs=0.06)) for x, y in dots]


@pytest.mark.parametrize("drawing", [chart_drawing(full()), overview_drawing(overview())])
def test_a_chart_is_set_in_embedded_type_of_twelve_points(drawing):
    canvas = Noting()
    drawing.drawOn(canvas, 20, 20)
    data = canvas.getpdfdata()

    assert sizes_of(data) == {12}
    assert set(fonts_of(data).values()) == {True}
    assert "13 Apr 2026" in text_of(data)


def test_a_drawing_takes_the_room_that_it_says():
    drawing = draw(full(), PAPER)

    assert chart_drawing(full()).wrap(0, 0) == (PAPER.width, drawing.height)


def test_every_role_has_a_pen():
    assert set(PENS) == set(Role)


def _looks(role):
    pen = PENS[role]
    return pen.width, pen.dashes, pen.fill is None, pen.hatched


def test_lines_areas_and_marks_are_told_apart_without_color():
    lines = (Role.SERIES, Role.OTHER_SIDE, Role.TARGET, Role.SLOPE, Role.GRID, Role.ERROR_EDGE)
    areas = (Role.STAGE_SHADE, Role.ERROR_BAND)

    assert [len({_looks(role) for role in group}) for group in (lines, areas)] == [6, 2]


def test_the_pens_cover_what_a_full_chart_draws():
    kinds = {type(item) for item in draw(full(), PAPER).primitives}

    assert kinds == {Path, Rect, Marker, Text}
    assert all(isinstance(PENS[item.role].color, Color) for item in draw(full(), PAPER).primitives)


def test_a_sign_that_the_type_lacks_is_refused_before_anything_is_drawn():
    with pytest.raises(CannotPrint, match="can't be printed"):
        chart_drawing(full(beside_label="另一侧"))
