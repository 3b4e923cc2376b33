"""The code for the patient's calendar, read from the printed page as a phone reads it."""

from dataclasses import replace

import pytest
from reportlab.lib.units import mm

from rehab.printing.paper import LETTER, Paper
from rehab.printing.scan_code import MOST_OCTETS, ScanCode, runs
from tests.rehab.printing.scanning import codes_on, edges_of, pictures, white_around
from tests.rehab.printing.sheets import (
    ENTRY,
    PAPERS,
    VISIT,
    a_program,
    opened,
    page_texts,
    printed_program,
)

WORDS = "Scan to put it in your calendar"
LARGEST = ENTRY + b"X" * (MOST_OCTETS - len(ENTRY))
LONG = "Alexandrina Maximiliana Theodolinde Wilhelmina Schwarzenberg von der Stadt am Hafen"


@pytest.mark.parametrize("paper", [Paper(), Paper(page=LETTER)])
def test_a_phone_reads_the_entry_from_the_first_page(paper):
    data = printed_program(a_program(), paper)

    assert codes_on(data) == [(1, ENTRY)]
    assert WORDS in page_texts(data)[0]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_code_stands_on_the_page_of_the_next_visit_and_of_its_words(paper):
    data = printed_program(a_program(), paper)
    ((page, entry),) = codes_on(data)
    text = page_texts(data)[page - 1]

    assert entry == ENTRY
    assert "Thursday, 26 Mar 2026 at 09:30" in text
    assert WORDS in text
    # In large print what is urgent takes the first page.
    assert page <= (2 if paper.large else 1)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("patient", ["Bo Li", LONG])
def test_the_largest_code_is_read_too(paper, patient):
    visit = replace(VISIT, entry=LARGEST)
    data = printed_program(a_program(patient=patient, next_visit=visit), paper)

    assert [entry for _page, entry in codes_on(data)] == [LARGEST]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("patient", ["Bo Li", "Marit Oyelaran", LONG])
def test_four_modules_around_the_code_are_white(paper, patient):
    data = printed_program(a_program(patient=patient), paper)
    ((page, _entry),) = codes_on(data)
    white = white_around(pictures(data, dpi=200)[page - 1], dpi=200)

    # Four modules of half a millimeter, less half a one for the pixels that a corner may be off.
    assert [side for side in white if side < 3.5 * 0.5] == []


@pytest.mark.parametrize("paper", [Paper(), Paper(page=LETTER)])
@pytest.mark.parametrize("patient", ["Bo Li", LONG])
@pytest.mark.parametrize("entry", [ENTRY, LARGEST])
@pytest.mark.parametrize(("language", "scan", "below"), [
    ("en", "Scan to put it", "Emergency"), ("es", "Escanee para", "Emergencia"),
])  # fmt: skip
def test_the_notes_below_the_code_keep_off_its_words(paper, patient, entry, language, scan, below):
    visit = replace(VISIT, entry=entry)
    data = printed_program(a_program(patient=patient, next_visit=visit, language=language), paper)

    # The words take two lines, in Spanish three, of 15.5 points each.
    assert edges_of(data, scan)[0] - edges_of(data, below)[1] > 2 * 15.5 + 4


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 3, 6])
def test_the_code_costs_no_page(paper, count):
    without = a_program(count=count, next_visit=replace(VISIT, entry=b""))
    pages = [
        len(opened(printed_program(sheet, paper)).pages)
        for sheet in (a_program(count=count), without)
    ]

    assert pages[0] == pages[1]


@pytest.mark.parametrize("paper", PAPERS)
def test_without_a_booking_there_is_no_code(paper):
    data = printed_program(a_program(next_visit=None), paper)

    assert codes_on(data) == []
    assert WORDS not in page_texts(data)[0]


def test_the_code_is_as_wide_as_its_modules_and_their_white():
    code = ScanCode(LARGEST)

    assert (len(code.rows), round(code.side / mm, 6)) == (73, 40.5)


def test_dark_modules_that_touch_are_drawn_as_one():
    assert runs(bytes([1, 1, 0, 1, 0, 0, 1, 1, 1])) == [(0, 2), (3, 1), (6, 3)]
