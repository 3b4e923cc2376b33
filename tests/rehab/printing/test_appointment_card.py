"""The appointment card, read back from the PDF."""

import datetime
from dataclasses import replace

import pytest

from rehab.printing.appointment_card import AppointmentCard, appointment_card_pdf
from rehab.printing.fonts import CannotPrint
from rehab.printing.paper import Paper
from tests.rehab.printing.scanning import codes_on, pictures
from tests.rehab.printing.sheets import CLINIC, ENTRY, PAPERS, TODAY, VISIT, opened, page_texts

LATER = [
    replace(VISIT, on=VISIT.on + datetime.timedelta(days=6 * n), practitioner=who, entry=b"")
    for n, who in enumerate(["Bo Li", "Konstantina Papadopoulou-Wilhelmsson", *["Bo Li"] * 3], 1)
]
ROWS = [
    "Thursday, 26 Mar 2026 09:30 Ida Solvang",
    "Wednesday, 1 Apr 2026 09:30 Bo Li",
]


def a_card(count: int = 6, **changes) -> AppointmentCard:
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        language="en",
        on=TODAY,
        appointments=(VISIT, *LATER)[:count],
    )
    return AppointmentCard(**(usual | changes))


def text_of_one_page(card: AppointmentCard, paper: Paper) -> str:
    (text,) = page_texts(appointment_card_pdf(card, paper))
    return text


@pytest.mark.parametrize("paper", PAPERS)
def test_each_appointment_stands_with_weekday_date_time_and_person(paper):
    text = text_of_one_page(a_card(2), paper)

    assert [row for row in ROWS if row not in text] == []
    assert "Your next 2 appointments." in text


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 6])
def test_a_phone_reads_the_first_appointment(paper, count):
    data = appointment_card_pdf(a_card(count), paper)

    assert codes_on(data) == [(1, ENTRY)]
    assert "Scan to put the first one in your calendar" in page_texts(data)[0]


@pytest.mark.parametrize(("paper", "free_from"), zip(PAPERS, [0.5, 0.75, 0.5, 0.8], strict=True))
def test_six_appointments_leave_the_lower_part_of_the_sheet_free(paper, free_from):
    (picture,) = pictures(appointment_card_pdf(a_card(more=True), paper), dpi=72)
    below = picture.crop((0, picture.height * free_from, picture.width, picture.height * 0.88))

    assert below.convert("L").getextrema() == (255, 255)


def test_more_than_six_are_said_to_be_booked():
    words = "More are booked after these. Ask us for them."

    assert words in text_of_one_page(a_card(more=True), Paper())
    assert words not in text_of_one_page(a_card(), Paper())


@pytest.mark.parametrize("paper", PAPERS)
def test_without_an_appointment_the_card_says_whom_to_call(paper):
    data = appointment_card_pdf(a_card(0), paper)

    assert "No appointment is booked. Please call +44 1632 960001." in page_texts(data)[0]
    assert codes_on(data) == []


def test_the_clinic_stands_with_phone_and_address_beside_the_appointments():
    text = text_of_one_page(a_card(), Paper())

    call = "To change an appointment Call us on +44 1632 960001."
    assert f"{call} Quayside Clinic 1 Harbor Road Sandhaven" in text


def test_no_clinical_word_is_on_the_card():
    text = text_of_one_page(a_card(more=True), Paper()).lower()

    words = ["elbow", "pain", "stage", "exercise", "program", "review", "therap", "tendin"]
    assert [word for word in words if word in text] == []


def test_the_card_is_in_the_patients_language():
    data = appointment_card_pdf(a_card(1, language="es"), Paper())

    assert opened(data).root_object["/Lang"] == "es"
    assert "jueves, 26 mar 2026" in page_texts(data)[0]


def test_a_seventh_appointment_is_refused():
    with pytest.raises(ValueError, match="a card has at most 6 appointments"):
        a_card(appointments=(VISIT,) * 7)


def test_a_name_that_the_type_lacks_is_refused():
    with pytest.raises(CannotPrint):
        appointment_card_pdf(a_card(patient="王芳"), Paper())
