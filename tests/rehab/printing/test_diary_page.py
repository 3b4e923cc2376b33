"""The diary page, read back from the PDF."""

import datetime
import io

import pdfplumber
import pytest
from reportlab.lib.units import mm

from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.fonts import CannotPrint
from rehab.printing.paper import A4, LARGE, LETTER, Paper
from tests.rehab.printing.sheets import (
    PAPERS,
    a_diary,
    a_program,
    fonts_of,
    opened,
    page_texts,
    printed_diary,
    printed_program,
    sizes_of,
    text_of,
)

TURNED = [diary_paper(paper) for paper in PAPERS]
COLUMNS = [
    "Sets done",
    "Last set: repetitions",
    "Weight, kg",
    "Worst pain during",
    "Pain next morning",
    "Times woken at night",
    "Sharp pain or locking",
    "Other exercises",
]
TWELVE = tuple(range(2, 13))
SCALE = "0 1 2 3 4 5 6 7 8 9 10"


@pytest.mark.parametrize("paper", TURNED)
@pytest.mark.parametrize("days", [1, 14, 42])
def test_every_day_has_its_row_and_both_scales(paper, days):
    page = a_diary(days=days)
    text = text_of(printed_diary(page, paper))

    assert [day for day in page.dates if f"{day:%a} {day.day} {day:%b}" not in text] == []
    assert text.count(SCALE) == 2 * days


@pytest.mark.parametrize("paper", TURNED)
def test_the_columns_come_in_the_order_of_the_typing_grid(paper):
    text = page_texts(printed_diary(a_diary(), paper))[0]
    text = text[text.find("Thu 12 Mar" if paper.large else "Day Sets") :]

    # In large print the other exercises, which are not typed in, stand behind the sets.
    places = [text.find(column) for column in COLUMNS[: -1 if paper.large else None]]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("paper", [TURNED[0], TURNED[2]])
def test_two_weeks_of_four_exercises_fit_on_one_page(paper, language):
    assert len(opened(printed_diary(a_diary(language=language), paper)).pages) == 1


@pytest.mark.parametrize("paper", TURNED)
@pytest.mark.parametrize(("count", "boxes"), [(1, ""), (2, "2"), (4, "2 3 4")])
def test_every_day_has_a_box_for_each_other_exercise(paper, count, boxes):
    text = text_of(printed_diary(a_diary(count=count), paper))
    label = "Other exercises " if paper.large else f"{SCALE} "

    assert text.count(f"{label}{boxes} ") == (14 if boxes else 0)
    assert ("Other exercises" in text) == (count > 1)


@pytest.mark.parametrize("paper", TURNED)
def test_twelve_exercises_are_printed_with_a_box_each_on_every_day(paper):
    page = a_diary(count=12)
    data = printed_diary(page, paper)
    drawn = b" ".join(sheet.get_contents().get_data() for sheet in opened(data).pages)

    assert page.numbers == TWELVE
    # The scales end at 10.
    assert text_of(data).count("11 12") == 14
    # A box for each set, one for sharp pain, one for each other exercise, and the square of "too much".
    assert drawn.count(b" re ") == 14 * (3 + 1 + 11) + 1


@pytest.mark.parametrize("paper", TURNED)
def test_the_numbers_are_those_of_the_home_program(paper):
    diary, program = a_diary(), a_program(count=4)
    home, text = (
        text_of(printed_program(program, paper_of(paper))),
        text_of(printed_diary(diary, paper)),
    )

    assert f"1. {diary.exercise}: 3 × 15" in text
    for number, exercise in enumerate(program.exercises, start=1):
        assert f"{number}. {exercise.name}" in home
        assert number == 1 or f"{number} {exercise.name}" in text.replace("\u00a0", " ")


def paper_of(turned: Paper) -> Paper:
    return Paper(page=turned.page, body=turned.body)


@pytest.mark.parametrize("paper", TURNED)
def test_it_says_what_is_typed_in(paper):
    said = "The clinic types in all but these ticks."

    assert said in text_of(printed_diary(a_diary(), paper))
    assert said not in text_of(printed_diary(a_diary(count=1), paper))


@pytest.mark.parametrize("paper", TURNED)
def test_it_says_which_elbow(paper):
    assert "Left elbow · 1. Lower slowly" in text_of(
        printed_diary(a_diary(elbow="Left elbow"), paper)
    )


@pytest.mark.parametrize("paper", TURNED)
@pytest.mark.parametrize("count", [1, 4, 12])
def test_a_figure_to_circle_has_its_own_room(paper, count):
    """A circle drawn by hand takes some 4 mm; so far apart stand the figures, in large print farther."""
    with pdfplumber.open(io.BytesIO(printed_diary(a_diary(count=count), paper))) as pdf:
        signs = [sign for sign in pdf.pages[0].chars if sign["text"] in "345"]
    threes = [sign for sign in signs if sign["text"] == "3"]
    beside = [
        other["x0"] - three["x0"]
        for three in threes
        for other in signs
        if other["text"] == "4" and other["top"] == three["top"] and 0 < other["x0"] - three["x0"] < 40
        and other["size"] == three["size"]
    ]  # fmt: skip

    assert min(beside) >= (18 if paper.large else 4 * mm)


def test_a_diary_is_a_file_of_its_own_so_that_it_lies_on_its_own_sheet():
    """For two-sided printing in a pack, see test_joined."""
    home, diary = printed_program(a_program(), Paper()), printed_diary(a_diary(), TURNED[0])

    assert "Sets done" not in text_of(home)
    assert "page 1 of 1" in page_texts(diary)[0]


def test_a_diary_of_six_weeks_repeats_its_head_on_every_page():
    pages = page_texts(printed_diary(a_diary(days=42), TURNED[0]))

    assert len(pages) == 3
    assert [text for text in pages if "Pain next morning" not in text] == []


def test_a_page_says_which_exercise_and_when_to_bring_it():
    text = text_of(printed_diary(a_diary(), TURNED[0]))

    assert "Right elbow · 1. Lower slowly: 3 × 15. Do this once a day, every day." in text
    assert "Tick a box for each set." in text
    assert "Bring this page on Thursday, 26 Mar 2026 at 09:30." in text
    assert "settled 0–3 watch 4–5 too much 6–10" in text


def test_without_a_booking_the_page_says_whom_to_call():
    text = text_of(printed_diary(a_diary(next_visit=None), TURNED[0]))

    assert "Bring this page with you. To book, call +44 1632 960001." in text


def test_holds_ask_for_seconds():
    assert "Last set: seconds" in text_of(printed_diary(a_diary(holds=True), TURNED[0]))


@pytest.mark.parametrize(("sets", "boxes"), [(3, 4 * 14), (10, 11 * 14)])
def test_there_is_a_box_to_tick_for_each_set(sets, boxes):
    pages = opened(printed_diary(a_diary(sets=sets, count=1), TURNED[0])).pages
    drawn = b" ".join(page.get_contents().get_data() for page in pages)

    # Besides the boxes only the square of "too much" is drawn as a rectangle.
    assert drawn.count(b" re ") == boxes + 1


def test_more_sets_than_fit_are_written_as_a_number():
    text = text_of(printed_diary(a_diary(sets=12), TURNED[0]))

    assert text.count("___ of 12") == 14
    assert "Write how many sets you did." in text


@pytest.mark.parametrize("paper", TURNED)
def test_every_page_ends_with_whose_it_is_and_where_it_belongs(paper):
    pages = page_texts(printed_diary(a_diary(), paper))

    for number, text in enumerate(pages, start=1):
        assert text.endswith(
            "Quayside Clinic Diary Marit Oyelaran · record 0217 · 12 Mar 2026 "
            f"Program 2 · page {number} of {len(pages)} 1 Harbor Road, Sandhaven, +44 1632 960001"
        )


@pytest.mark.parametrize("paper", TURNED)
def test_type_is_embedded_and_large_enough(paper):
    data = printed_diary(a_diary(), paper)
    foot, smallest = sorted(sizes_of(data))[:2]

    assert set(fonts_of(data).values()) == {True}
    assert (foot, smallest) == ((14, 18) if paper.large else (10, 12))


@pytest.mark.parametrize("wrong", [{"days": 0}, {"days": 43}, {"sets": 0}])
def test_a_diary_without_days_or_sets_is_refused(wrong):
    with pytest.raises(ValueError, match="a diary"):
        a_diary(**wrong)


def test_a_name_that_the_type_lacks_is_refused():
    with pytest.raises(CannotPrint, match="王"):
        diary_page_pdf(a_diary(patient="王芳"), TURNED[0])


def test_the_days_follow_each_other_over_the_end_of_a_month():
    page = a_diary(first_day=datetime.date(2026, 2, 27), days=3)

    assert [day.isoformat() for day in page.dates] == ["2026-02-27", "2026-02-28", "2026-03-01"]


def test_the_days_for_training_follow_how_often():
    some = a_diary(
        training_days="Best on Monday and Friday.", how_often="Do this on 2 days a week."
    )

    text = text_of(printed_diary(some, TURNED[0]))
    assert "Do this on 2 days a week. Best on Monday and Friday." in text


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("page", [A4, LETTER])
def test_two_weeks_in_large_print_take_four_pages(language, page):
    paper = diary_paper(Paper(page=page, body=LARGE))

    assert len(opened(diary_page_pdf(a_diary(language=language), paper)).pages) == 4
