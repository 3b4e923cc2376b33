"""The letter about a refused request, read back out of the PDF."""

import datetime

import pytest

from rehab.printing.fonts import CannotPrint
from rehab.printing.paper import A4, LARGE, LETTER, NORMAL, Paper
from rehab.printing.refusal_letter import RefusalLetter, Wish, refusal_letter_pdf
from tests.rehab.printing.sheets import CLINIC, TODAY, page_texts, text_of

KEPT = {
    "wish": Wish.ERASURE,
    "what": "",
    "because": "The law asks the clinic to keep records of care.",
    "kept_until": datetime.date(2034, 3, 12),
}


def a_refusal(**changes) -> RefusalLetter:
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        born=datetime.date(1981, 5, 4),
        language="en",
        on=TODAY,
        wish=Wish.CORRECTION,
        asked_on=datetime.date(2026, 3, 2),
        what="It was the left arm.\nPlease change the visit of 4 March.",
        because="You showed us the right arm that day.",
        decided_on=datetime.date(2026, 3, 9),
        decided_by="Ida Solvang",
    )
    return RefusalLetter(**(usual | changes))


def read(paper=None, **changes) -> str:
    return text_of(refusal_letter_pdf(a_refusal(**changes), paper or Paper()))


def missing(text: str, *words: str) -> list[str]:
    return [word for word in words if word not in text]


def test_it_says_what_was_asked_and_decided_why_and_when():
    text = read()

    assert (
        missing(
            text,
            "You asked us to correct your record. We have not done so.",
            "On 2 Mar 2026 you asked us to correct this:",
            "It was the left arm.",
            "Please change the visit of 4 March.",
            "On 9 Mar 2026 we said no.",
            "You showed us the right arm that day.",
            "Ida Solvang",
        )
        == []
    )


def test_a_record_that_is_kept_says_until_when():
    text = read(**KEPT)

    assert (
        missing(
            text,
            "You asked us to erase your record. We keep it for now.",
            "Your record stays with us until 12 Mar 2034.",
            "The law asks the clinic to keep records of care.",
            "You may ask us again after that day.",
        )
        == []
    )


@pytest.mark.parametrize("changes", [{}, KEPT], ids=["correction", "erasure"])
def test_it_says_where_to_complain_and_whom_to_ask(changes):
    """GDPR Art. 12(4), from memory."""
    text = read(**changes)

    assert (
        missing(
            text,
            "You may complain to the office that watches over the use of personal data.",
            "You may also go to court.",
            "Name and address of this office:",
            f"Call us on {CLINIC.phone}.",
        )
        == []
    )


def test_a_note_may_stay_with_a_record_that_is_not_corrected():
    """45 CFR 164.526(d)(1), from memory."""
    assert "Ask us to keep that note with your record." in read()


def test_in_spanish_only_what_was_typed_is_in_another_language():
    text = read(language="es")

    assert missing(text, "Nos pidió corregir su expediente.", "Sus derechos", "9 mar 2026") == []
    assert "You asked us" not in text


@pytest.mark.parametrize("page", [A4, LETTER])
@pytest.mark.parametrize("body", [NORMAL, LARGE])
@pytest.mark.parametrize("language", ["en", "es"])
def test_usual_words_take_one_page_or_two_in_large_print(page, body, language):
    letter = refusal_letter_pdf(a_refusal(language=language), Paper(page=page, body=body))

    assert len(page_texts(letter)) == (1 if body == NORMAL else 2)


def test_a_name_that_the_type_lacks_is_said():
    with pytest.raises(CannotPrint, match="王"):
        refusal_letter_pdf(a_refusal(patient="王"), Paper())


@pytest.mark.parametrize("changes", [{}, KEPT], ids=["correction", "erasure"])
@pytest.mark.parametrize("page", [A4, LETTER])
def test_the_lines_for_the_office_stand_with_what_they_are_for(changes, page):
    paper = Paper(page=page, body=LARGE)
    pages = page_texts(refusal_letter_pdf(a_refusal(**changes), paper))

    assert "You may complain to the office" in pages[-1]
    assert "Name and address of this office:" in pages[-1]
    assert "Ida Solvang" in pages[-1]
