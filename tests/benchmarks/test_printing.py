"""The floor of the home program holds what the sheet holds, and the sheet takes not much longer."""

import pypdf
import pytest

from rehab.printing.home_program import home_program_pdf
from rehab.printing.paper import LARGE, Paper
from tests.benchmarks.floor import drawn, prepared
from tests.benchmarks.leaves import leaves_of, operations
from tests.benchmarks.printing import compare, programs
from tests.rehab.printing.sheets import opened, page_texts

PAPERS = [Paper(), Paper(body=LARGE)]
# Twice is the aim (`python -m tests.benchmarks` prints what it is); a busy machine may be off by half of it.
MOST_TIMES = 3


@pytest.fixture(scope="module", params=PAPERS)
def both(request) -> tuple[bytes, bytes]:
    """A sheet, and its content drawn by bare calls."""
    (sheet,) = programs(count=4, patients=1)
    data = home_program_pdf(sheet, request.param)
    return data, drawn(prepared(data))


def test_the_floor_has_the_same_text_on_the_same_pages(both):
    sheet, floor = both

    assert letters(floor) == letters(sheet)
    assert min(map(len, letters(sheet))) > 300


def letters(data: bytes) -> list[str]:
    """The text of each page without blanks: a reader adds some where one call ends and another begins."""
    return ["".join(text.split()) for text in page_texts(data)]


def test_the_floor_draws_as_often(both):
    sheet, floor = both

    texts, paths = operations(sheet)
    assert operations(floor) == (texts, paths)
    assert texts > 200
    assert paths > 200


def test_the_floor_has_each_run_of_text_in_its_place_and_type(both):
    runs, its_runs = ([run for leaf in leaves_of(data) for run in leaf.runs] for data in both)

    assert [(one.text, one.font, one.size, one.color) for one in its_runs] == [
        (one.text, one.font, one.size, one.color) for one in runs
    ]
    assert [(one.x, one.y) for one in its_runs] == [
        pytest.approx((one.x, one.y), abs=0.01) for one in runs
    ]


def test_the_floor_paints_each_path_with_the_same_pen(both):
    shapes, its_shapes = (
        [shape for leaf in leaves_of(data) for shape in leaf.shapes] for data in both
    )

    assert [shape.paint for shape in its_shapes] == [shape.paint for shape in shapes]
    for shape, its in zip(shapes, its_shapes, strict=True):
        points = [number for _operator, given in shape.segments for number in given]
        its_points = [number for _operator, given in its.segments for number in given]
        assert its_points == pytest.approx(points, abs=0.01)
        assert (its.pen.stroke, its.pen.fill) == (
            pytest.approx(shape.pen.stroke, abs=0.001),
            pytest.approx(shape.pen.fill, abs=0.001),
        )
        assert its.pen.width == pytest.approx(shape.pen.width, abs=0.01)


def test_the_floor_says_the_same_of_itself(both):
    sheet, floor = map(opened, both)

    assert (floor.metadata.title, floor.metadata.author, floor.root_object["/Lang"]) == (
        sheet.metadata.title,
        sheet.metadata.author,
        sheet.root_object["/Lang"],
    )
    assert headings(floor) == headings(sheet)


def headings(pdf: pypdf.PdfReader) -> list[tuple[str, int]]:
    return [(entry.title, pdf.get_destination_page_number(entry)) for entry in pdf.outline]


@pytest.mark.parametrize("paper", PAPERS)
def test_a_home_program_takes_not_much_longer_than_its_floor(paper):
    found = compare(programs(count=4, patients=2), paper, rounds=6)

    assert found.times < MOST_TIMES
