"""Sheets put into one file, read back by two libraries that did not write it."""

import datetime
import io

import pypdf
import pypdfium2
import pytest

from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.home_program import home_program_pdf
from rehab.printing.joined import Joined
from rehab.printing.paper import LARGE, LETTER, Paper
from tests.rehab.printing.sheets import a_diary, a_program, page_texts

DAY = datetime.date(2026, 3, 12)


@pytest.fixture(scope="module")
def program() -> bytes:
    return home_program_pdf(a_program(), Paper())


@pytest.fixture(scope="module")
def diary() -> bytes:
    """One page, turned."""
    return diary_page_pdf(a_diary(), diary_paper(Paper()))


@pytest.fixture(scope="module")
def large() -> bytes:
    """Large print on letter paper for somebody with another name."""
    return home_program_pdf(a_program(patient="Лука Ødegård"), Paper(page=LETTER, body=LARGE))


def joined(packs, *, language="en", **how) -> bytes:
    file = io.BytesIO()
    made = Joined(file, **how)
    for patient, sheets in packs:
        made.begin(patient)
        for title, data in sheets:
            made.add(title, data)
    made.end(title="Packs of 12 Mar 2026", author="Quayside", on=DAY, language=language)
    return file.getvalue()


def read(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def sizes(data: bytes) -> list[tuple[int, int]]:
    return [tuple(round(side) for side in page.mediabox[2:]) for page in read(data).pages]


def even(count: int) -> int:
    """The pages of as many leaves as that takes, printed on both sides."""
    return count + count % 2


def drawn(data: bytes, page: int) -> bytes:
    return pypdfium2.PdfDocument(data)[page].render(scale=0.5).to_pil().tobytes()


@pytest.fixture(scope="module")
def both(program, diary, large) -> bytes:
    """Two packs: program and diary of one patient, a program of another."""
    first = [("Home program", program), ("Diary page", diary)]
    packs = [("Marit Oyelaran · 0217", first), ("Лука Ødegård · 0218", [("Home program", large)])]
    return joined(packs, two_sided=True)


def test_every_page_says_what_it_said_alone_in_the_order_given(both, program, diary, large):
    texts = [text for text in page_texts(both) if text]

    assert texts == [*page_texts(program), *page_texts(diary), *page_texts(large)]


def test_every_page_looks_as_it_did_alone(both, program, diary):
    count = len(sizes(program))
    places = [*range(count), even(count)]
    alone = [drawn(program, page) for page in range(count)] + [drawn(diary, 0)]

    assert [drawn(both, page) for page in places] == alone


def test_a_blank_page_of_the_same_size_ends_a_sheet_of_odd_length(both, program, diary, large):
    alone = [sizes(sheet) for sheet in (program, diary, large)]

    assert sizes(both) == [size for sheet in alone for size in sheet + sheet[:1] * (len(sheet) % 2)]
    assert len(alone[1]) == 1  # so at least one sheet has an odd number of pages
    assert page_texts(both).count("") == sum(len(sheet) % 2 for sheet in alone)
    assert page_texts(both)[even(len(alone[0])) + 1] == ""


def test_for_one_side_of_the_paper_there_is_no_blank_page(program, diary):
    data = joined([("Marit", [("Home program", program), ("Diary page", diary)])])

    assert sizes(data) == sizes(program) + sizes(diary)
    assert "/Duplex" not in read(data).trailer["/Root"]["/ViewerPreferences"]


def test_the_outline_leads_to_each_patient_and_under_it_to_each_sheet(both, program):
    document = read(both)
    diary = even(len(sizes(program)))

    found = [
        (line.title, document.get_destination_page_number(line))
        for entry in document.outline
        for line in (entry if isinstance(entry, list) else [entry])
    ]
    assert found == [
        ("Marit Oyelaran · 0217", 0),
        ("Home program", 0),
        ("Diary page", diary),
        ("Лука Ødegård · 0218", diary + 2),
        ("Home program", diary + 2),
    ]


def test_another_reader_sees_the_same_outline(both, program):
    """PDFium follows the links between the lines by itself: who is below, before and after whom."""
    diary = even(len(sizes(program)))
    lines = [
        (mark.level, mark.get_title(), mark.get_dest().get_index())
        for mark in pypdfium2.PdfDocument(both).get_toc()
    ]

    assert [line[0] for line in lines] == [0, 1, 1, 0, 1]
    assert [line[2] for line in lines] == [0, 0, diary, diary + 2, diary + 2]


def test_a_viewer_is_told_what_the_file_is_and_how_it_is_printed(both):
    document = read(both)
    root = document.trailer["/Root"]

    assert root["/ViewerPreferences"]["/Duplex"] == "/DuplexFlipLongEdge"
    assert (root["/PageMode"], root["/Lang"]) == ("/UseOutlines", "en")
    assert (document.metadata.title, document.metadata.author) == (
        "Packs of 12 Mar 2026", "Quayside",
    )  # fmt: skip
    assert document.metadata.creation_date.date() == DAY


def test_a_file_in_several_languages_names_none(program):
    data = joined([("Marit", [("Home program", program)])], language="")

    assert "/Lang" not in read(data).trailer["/Root"]


def test_a_patient_without_a_sheet_has_no_line(program):
    data = joined([("Odile", []), ("Marit", [("Home program", program)])])

    assert [entry.title for entry in read(data).outline if not isinstance(entry, list)] == ["Marit"]


def test_the_same_sheets_make_the_same_file_and_others_another_identifier(program, diary):
    one, same, other = (
        joined([("Marit", [("Sheet", data)])]) for data in (program, program, diary)
    )

    assert one == same
    assert read(one).trailer["/ID"][0] != read(other).trailer["/ID"][0]
