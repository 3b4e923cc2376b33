"""The logo on paper."""

from dataclasses import replace

import pypdfium2
import pytest
from PIL import ImageChops
from reportlab.lib.units import mm

from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.home_program import home_program_pdf
from rehab.printing.letterhead import fitted
from rehab.printing.paper import LARGE, Paper, styles
from tests.clinic.logos import png, svg
from tests.rehab.printing.sheets import CLINIC, a_diary, a_program, fonts_of, opened, page_texts

WITH = replace(CLINIC, logo=png(1000, 100, mode="RGB", color="red"))
PAPERS = [Paper(), Paper(body=LARGE)]


def program(paper: Paper, clinic=WITH, **how) -> bytes:
    return home_program_pdf(a_program(clinic=clinic), paper, **how)


def red_box(data: bytes, page: int = 0) -> tuple[int, ...] | None:
    """Left, top, right and bottom of what is red on a page, in points."""
    picture = pypdfium2.PdfDocument(data)[page].render(scale=1).to_pil().convert("RGB")
    red, green, _blue = picture.split()
    bright, dark = red.point(lambda v: v > 200 and 255), green.point(lambda v: v < 50 and 255)
    return ImageChops.multiply(bright, dark).getbbox()


@pytest.mark.parametrize(
    ("dots", "size"),
    [
        ((1000, 100), (50, 5)),
        ((1000, 1000), (18, 18)),
        ((1000, 360), (50, 18)),
        ((2000, 10), (50, 0.25)),
    ],
)
def test_a_logo_fills_50_by_18_mm_in_its_own_proportion(dots, size):
    assert fitted(*dots) == pytest.approx(tuple(side * mm for side in size))


def test_a_picture_of_few_dots_is_not_blown_up():
    assert fitted(40, 20) == (40, 20)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_low_logo_stands_on_the_line_of_the_name_and_costs_no_room(paper):
    left, top, right, bottom = red_box(program(paper))

    line = paper.edge * 0.7 + styles(paper.body).running.leading
    assert (left, bottom) == pytest.approx((paper.edge, line), abs=1)
    assert (right - left, bottom - top) == pytest.approx((50 * mm, 5 * mm), abs=1.5)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_high_logo_begins_5_mm_below_the_edge(paper):
    high = replace(CLINIC, logo=png(500, 500, mode="RGB", color="red"))

    left, top, right, bottom = red_box(program(paper, high))

    assert (left, top) == pytest.approx((paper.edge, 5 * mm), abs=1)
    assert (right - left, bottom - top) == pytest.approx((18 * mm, 18 * mm), abs=1.5)


def test_what_to_do_in_an_emergency_stays_on_the_first_page():
    high = replace(CLINIC, logo=png(1000, 360))

    first = page_texts(program(Paper(), high))[0]

    assert "Get help the same day if" in first


def test_only_the_first_page_has_it():
    data = program(Paper())

    others = [red_box(data, page) for page in range(1, len(opened(data).pages))]
    assert others == [None] * 4


@pytest.mark.parametrize("paper", PAPERS)
def test_a_sheet_with_a_logo_says_the_same(paper):
    plain, headed = (program(paper, clinic) for clinic in (CLINIC, WITH))

    assert words_of(headed) == words_of(plain)


def words_of(data: bytes) -> list[str]:
    return sorted(" ".join(page_texts(data)).split())


def test_the_diary_with_the_highest_logo_still_fits_its_page():
    paper = diary_paper(Paper())
    tall = replace(CLINIC, logo=png(500, 500))

    plain, headed = (diary_page_pdf(a_diary(clinic=clinic), paper) for clinic in (CLINIC, tall))

    assert len(opened(headed).pages) == len(opened(plain).pages)


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "LA", "1", "P"])
def test_every_kind_of_png_is_drawn(mode):
    color = 0 if mode in {"L", "1", "P"} else (0, 0) if mode == "LA" else "black"
    clinic = replace(CLINIC, logo=png(mode=mode, color=color))

    data = diary_page_pdf(a_diary(clinic=clinic), diary_paper(Paper()))

    assert len(opened(data).pages[0].images) == 1


def test_what_is_clear_in_the_picture_stays_paper():
    clinic = replace(CLINIC, logo=png(300, 100, color=(255, 0, 0, 0)))

    assert red_box(program(Paper(), clinic)) is None


DRAWN = replace(CLINIC, logo=svg())


@pytest.mark.parametrize("paper", PAPERS)
def test_a_drawing_is_set_as_large_as_fits(paper):
    left, top, right, bottom = red_box(program(paper, DRAWN))

    assert left == pytest.approx(paper.edge, abs=1)
    assert (right - left, bottom - top) == pytest.approx((50 * mm, 10 * mm), abs=1.5)


def test_a_drawing_does_not_run_over_its_frame():
    wide = svg('<rect x="90" width="400" height="20" fill="#ff0000"/>')

    left, _top, right, _bottom = red_box(program(Paper(), replace(CLINIC, logo=wide)))

    assert right - left == pytest.approx(50 * mm, abs=1.5)


def test_a_drawing_brings_no_type_that_the_sheet_does_not_carry():
    assert fonts_of(program(Paper(), DRAWN)) == fonts_of(program(Paper(), CLINIC))
