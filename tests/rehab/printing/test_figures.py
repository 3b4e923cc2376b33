from itertools import groupby

import pytest
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from cases.clinical.drawing import Circle, Figure, Outline, Role
from cases.clinical.sides import Side
from cases.figures import svg
from rehab.clinical.positions import BUILT, figure
from rehab.printing.figures import PENS, drawing, start_and_end
from rehab.printing.paper import LARGE, NORMAL, Paper, styles

# Each path begins with n, which paints nothing (ISO 32000-1:2008, table 60).
PAINTS = {"S", "f", "f*", "B", "B*"}


def drawn(shown: Figure) -> list[str]:
    """The paths that are painted, as operators; edge and fill of one are one."""
    canvas = Canvas("never-written.pdf")
    drawing(shown, 40).drawOn(canvas, 0, 0)
    path: list[str] = []
    painted = []
    for token in canvas.getCurrentPageContent().split():
        if token in PAINTS:
            painted.append(" ".join(path))
        path = [] if token == "n" else [*path, token]
    return [one for one, _again in groupby(painted)]


@pytest.mark.parametrize("phase", ["start", "end"])
@pytest.mark.parametrize("code", BUILT)
def test_paper_and_page_draw_the_same_number_of_primitives(code, phase):
    shown = figure(code, phase, Side.RIGHT)
    paths, on_page = drawn(shown), svg(shown)

    circles = sum(" c" in path for path in paths)
    assert circles == on_page.count("<circle")
    assert len(paths) - circles == on_page.count("<path")
    assert len(paths) == len(shown.primitives)


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
