"""Sheets to print and ways to read them back, for the tests of this folder."""

import datetime
import io
from dataclasses import replace
from functools import cache

import pypdf
from pypdf.generic import DecodedStreamObject, NameObject

from cases.clinical.sides import Side
from clinic.evidence import Status
from rehab.clinical.exercises import CARDS
from rehab.clinical.positions import figure
from rehab.printing.advice import PainLimits
from rehab.printing.diary_page import DiaryPage, diary_page_pdf
from rehab.printing.home_program import (
    HomeExercise,
    HomeProgram,
    NextVisit,
    home_program_pdf,
)
from rehab.printing.paper import A4, LARGE, LETTER, NORMAL, ClinicContact, Paper
from rehab.printing.visit_record import visit_record_pdf

CLINIC = ClinicContact(
    name="Quayside Clinic",
    address="1 Harbor Road\nSandhaven",
    phone="+44 1632 960001",
    emergency_phone="112",
)
LIMITS = PainLimits(
    settled_up_to=3,
    too_much_from=6,
    morning_watch=1,
    morning_too_much=2,
    source="Harbor 2020",
    status=Status.SECOND_HAND,
)
ENTRY = b"""BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//Clinic appointments//EN\r
BEGIN:VEVENT\r
SUMMARY:Quayside Clinic: appointment\r
DTSTART:20260326T093000Z\r
DTEND:20260326T100000Z\r
DTSTAMP:20260312T120000Z\r
UID:0c1b0d3e-4a4f-5b0e-8a39-3d8e5f7c2b11\r
CLASS:PRIVATE\r
LOCATION:1 Harbor Road\\, Sandhaven\r
END:VEVENT\r
END:VCALENDAR\r
"""
VISIT = NextVisit(
    on=datetime.date(2026, 3, 26),
    at=datetime.time(9, 30),
    practitioner="Ida Solvang",
    entry=ENTRY,
)
TODAY = datetime.date(2026, 3, 12)
# Each paper in each size of print, A4 first.
PAPERS = [Paper(page=page, body=body) for page in (A4, LETTER) for body in (NORMAL, LARGE)]
# About as high as a page is between head and foot, in points.
PAGE = 690

# Setting a sheet takes a while, so the tests that read the same one share it.
printed_program, printed_diary = cache(home_program_pdf), cache(diary_page_pdf)
printed_record = cache(visit_record_pdf)


def an_exercise(card, *, remark: str = "") -> HomeExercise:
    dose = replace(card.dose, load_kg=1.2) if card.dose.repetitions else card.dose
    return HomeExercise(
        name=card.name,
        headline=dose.headline(),
        dose=dose.lines(),
        start=card.start,
        steps=card.steps,
        usual_mistake=card.usual_mistake,
        caution=card.caution,
        equipment=card.equipment,
        remark=remark,
        positions=(
            figure(card.code, "start", Side.RIGHT),
            figure(card.code, "end", Side.RIGHT),
        ),
    )


def a_program(*, count: int = 3, **changes) -> HomeProgram:
    """A home program in stage 2 with `count` exercises, but for `changes`."""
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        elbow="Right elbow",
        language="en",
        on=TODAY,
        version=2,
        stage=2,
        stage_words="Slow light lifting, elbow bent",
        limits=LIMITS,
        review_weeks=6,
        exercises=tuple(an_exercise(card) for card in CARDS[2 : 2 + count]),
        remark="Leave the hammer out on days when you sanded the hull.",
        next_visit=VISIT,
        issued_by="Ida Solvang",
        registration_number="PH-1001",
        issued_on=datetime.date(2026, 3, 11),
    )
    return HomeProgram(**(usual | changes))


def a_diary(*, count: int = 4, **changes) -> DiaryPage:
    """A diary of two weeks for lowering slowly, first of `count` exercises, but for `changes`."""
    dose = CARDS[2].dose
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        elbow="Right elbow",
        language="en",
        on=TODAY,
        version=2,
        exercise=CARDS[2].name,
        others=tuple(card.name for card in CARDS[3 : 2 + count]),
        headline=dose.headline(),
        how_often=dose.how_often(),
        sets=3,
        holds=False,
        limits=LIMITS,
        next_visit=VISIT,
        first_day=TODAY,
    )
    return DiaryPage(**(usual | changes))


def opened(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data))


@cache
def text_of(data: bytes) -> str:
    """All that is printed, with every run of blanks and line ends as one space."""
    return " ".join(" ".join(page_texts(data)).split())


@cache
def page_texts(data: bytes) -> tuple[str, ...]:
    pages = (without_drawings(page).extract_text() for page in opened(data).pages)
    return tuple(" ".join(text.split()) for text in pages)


def without_drawings(page: pypdf.PageObject) -> pypdf.PageObject:
    """The page but for its paths: reading text, pypdf parses each of their thousands of points."""
    if "/Contents" not in page:
        return page  # blank
    lines = page.get_contents().get_data().split(b"\n")
    words = DecodedStreamObject()
    words.set_data(b"\n".join(line for line in lines if not line.startswith(b"n ")))
    page[NameObject("/Contents")] = words
    return page


def sizes_of(data: bytes) -> set[float]:
    """The sizes of all type on the sheet, in points."""
    found = set()

    def see(text, _cm, _tm, font, size):
        if text.strip():
            found.add(round(size, 1))

    for page in opened(data).pages:
        without_drawings(page).extract_text(visitor_text=see)
    return found


def fonts_of(data: bytes) -> dict[str, bool]:
    """Every font that the file names, and whether its signs are in the file."""
    fonts = {}
    for page in opened(data).pages:
        for font in page["/Resources"]["/Font"].values():
            described = font.get_object()
            embedded = "/FontFile2" in described.get("/FontDescriptor", {})
            fonts[described["/BaseFont"]] = embedded
    return fonts
