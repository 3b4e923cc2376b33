"""The printed course, read back out of the PDF."""

import datetime
from dataclasses import replace

import pytest

from clinic.evidence import Status
from rehab.printing.course_sheet import CourseSheet, MeasureSheet, ReachedRow, course_pdf
from rehab.printing.ledger import Footnote
from rehab.printing.paper import A4, LETTER
from tests.assessments.test_charts import day, full, overview
from tests.rehab.printing.sheets import CLINIC, fonts_of, opened, page_texts, sizes_of, text_of

ROW = ReachedRow(
    name="important change after a broken wrist",
    mark="b",
    asks_for="63.74 N",
    since_last="not reached",
    since_start="reached",
)
MEASURE = MeasureSheet(
    chart=full(captions=("Dashed line: the other side.",)),
    figures="213 N, start 120",
    newest="213 N",
    start="120 N",
    change="better by 93 N, beyond error (92)",
    mark="a",
    reached=(ROW,),
)
SHEET = CourseSheet(
    clinic=CLINIC,
    patient="Marit Oyelaran",
    record="0217",
    born=datetime.date(1984, 6, 2),
    elbow="Right elbow",
    on=datetime.date(2026, 4, 20),
    overview=replace(overview(), captions=("Square: a session that was too much, 22 Mar 2026.",)),
    measures=(MEASURE,) * 6,
    rows=tuple((day(14 * n), ((120 + n, 0), (None, None)) * 3) for n in range(4)),
    footnotes=(
        Footnote(
            mark="a", figures="92 N", limits="Mean of three.", source="Hill 2023",
            status=Status.PUBLISHED,
        ),
        Footnote(mark="", figures="89 %", limits="", source="", status=Status.SECOND_HAND),
    ),
)  # fmt: skip


@pytest.fixture(scope="module")
def printed() -> bytes:
    return course_pdf(SHEET)


@pytest.mark.parametrize(
    "words",
    [
        "Right elbow · record 0217 · born 2 Jun 1984",
        "Pain-free grip is 213 N and was 120 N at the start: better by 93 N, beyond error (92).",
        "Square: a session that was too much, 22 Mar 2026.",
        "Dashed line: the other side.",
        "important change after a broken wrist b 63.74 N not reached reached",
        "a. 92 N · Mean of three. · Hill 2023 · published",
        "16 Mar 2026 121 – 121 –",
    ],
)
def test_the_sheet_says(printed, words):
    assert words in text_of(printed)


def test_every_page_has_patient_record_date_and_its_number(printed):
    pages = page_texts(printed)

    found = [
        (
            "Marit Oyelaran · record 0217 · 20 Apr 2026" in text,
            f"page {number} of {len(pages)}" in text,
        )
        for number, text in enumerate(pages, start=1)
    ]
    assert found == [(True, True)] * len(pages)


def test_two_measures_with_a_short_table_share_a_page(printed):
    heads = [text.count("Published figure") for text in page_texts(printed)]

    assert max(heads) == 2


def test_the_type_is_embedded_and_the_body_no_smaller_than_twelve_points(printed):
    assert set(fonts_of(printed).values()) == {True}
    # Head and foot are set in ten points, the letters of notes in eleven.
    assert sizes_of(printed) - {10, 11} == {12, 16, 17, 28}


def test_the_file_is_named_by_its_day_and_record(printed):
    assert opened(printed).metadata.title == "Course 20 Apr 2026, 0217"


def test_one_value_alone_is_compared_with_nothing():
    alone = replace(MEASURE, start="")
    words = text_of(course_pdf(replace(SHEET, measures=(alone,), rows=SHEET.rows[:1])))

    assert "Pain-free grip is 213 N. One value: nothing to compare yet." in words


def test_a_case_without_measures_has_a_sheet_that_says_so():
    words = text_of(course_pdf(replace(SHEET, overview=None, measures=(), rows=())))

    assert ("Nothing has been measured" in words, "All values" in words) == (True, False)


@pytest.mark.parametrize("page", [A4, LETTER])
@pytest.mark.parametrize("sentences", [1, 8, 14])
def test_the_overview_stands_on_the_first_page_with_its_captions(page, sentences):
    """The plots move closer together where the captions would not fit under them otherwise."""
    captions = tuple(
        f"Square {number}: a session that was too much." for number in range(sentences)
    )
    many = replace(overview(), panels=overview().panels * 2, captions=captions)
    first, second, *_others = page_texts(
        course_pdf(replace(SHEET, clinic=replace(CLINIC, page=page), overview=many))
    )

    assert [words for words in captions if words not in first] == []
    assert second.startswith("Pain-free grip")
