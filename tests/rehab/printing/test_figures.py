import pytest
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from cases.clinical.drawing import Circle, Outline, Role
from cases.clinical.sides import Side
from cases.figures import svg
from rehab.clinical.positions import BUILT, figure
from rehab.printing.figures import PENS, drawing, start_and_end
from rehab.printing.paper import LARGE, NORMAL, Paper, styles


class Counting(Canvas):
    """A canvas that counts the shapes that are drawn on it; edge and fill of one are one."""

    def __init__(self):
        super().__init__("never-written.pdf")
        self.circles, self._last = 0, None
        self.paths = 0

    def drawPath(self, path, *given, **more):
        self.paths += path is not self._last
        self._last = path
        super().drawPath(path, *given, **more)

    def circle(self, *given, **more):
        self.circles += 1
        super().circle(*given, **more)


@pytest.mark.parametrize("phase", ["start", "end"])
@pytest.mark.parametrize("code", BUILT)
def test_paper_and_page_draw_the_same_number_of_primitives(code, phase):
    shown, canvas = figure(code, phase, Side.RIGHT), Counting()

    drawing(shown, 40).drawOn(canvas, 0, 0)

    on_page = svg(shown)
    assert (canvas.paths, canvas.circles) == (on_page.count("<path"), on_page.count("<circle"))
    assert canvas.paths + canvas.circles == len(shown.primitives)


def test_a_drawing_is_as_wide_as_asked_and_keeps_its_shape():
    width, height = drawing(figure("row", "start", Side.LEFT), 40).wrap(0, 0)

    assert (width, height) == pytest.approx((40 * mm, 32 * mm))


def test_every_role_has_a_pen():
    assert list(PENS) == list(Role)


def test_a_width_that_is_not_positive_is_refused():
    with pytest.raises(ValueError, match="0 mm wide"):
        drawing(figure("row", "start", Side.LEFT), 0)


@pytest.mark.parametrize(("body", "width_mm"), [(NORMAL, 40), (LARGE, 52)])
def test_start_and_end_stand_beside_each_other_with_their_words(body, width_mm):
    positions = figure("row", "start", Side.RIGHT), figure("row", "end", Side.RIGHT)

    (cells,) = start_and_end(positions, styles(body), Paper(body=body))._cellvalues

    assert [shown.figure for shown, _ in cells] == list(positions)
    assert [word.getPlainText() for _, word in cells] == ["Start", "End"]
    assert [shown.wrap(0, 0)[0] for shown, _ in cells] == pytest.approx([width_mm * mm] * 2)


def test_outlines_of_a_figure_turn_one_way_so_that_parts_that_overlap_are_filled():
    shown = figure("wrist-hold", "end", Side.RIGHT)
    parts = [
        part for shape in shown.primitives if isinstance(shape, Outline) for part in shape.parts
    ]

    assert {_turn(part) > 0 for part in parts} == {True}
    assert not any(isinstance(shape, Circle) and shape.radius <= 0 for shape in shown.primitives)


def _turn(points):
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return sum(x * after_y - after_x * y for (x, y), (after_x, after_y) in pairs)
