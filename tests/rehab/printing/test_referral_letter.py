"""The printed referral letter, read back out of the PDF."""

import datetime
from dataclasses import fields, is_dataclass, replace
from enum import StrEnum
from functools import cache

import pytest

from cases.clinical.referral import REFERRALS, Urgency
from cases.clinical.screening import BY_CODE, Answer
from cases.clinical.sides import Side
from clinic.templatetags.clinic_tags import say
from rehab.printing.fonts import CannotPrint
from rehab.printing.paper import LARGE, LETTER, Paper
from rehab.printing.referral_letter import Asked, Fact, Reason, ReferralLetter, referral_letter_pdf
from tests.clinic.logos import png
from tests.rehab.printing.sheets import (
    CLINIC,
    TODAY,
    fonts_of,
    opened,
    page_texts,
    sizes_of,
    text_of,
)

PAPERS = [Paper(), Paper(page=LETTER)]
printed = cache(referral_letter_pdf)
REASON = Reason(
    question="Did it start with a fall or a direct blow, above all in the last three days?",
    answer=Answer.YES,
    note="fell from a ladder on the slipway",
    on=TODAY,
    since=TODAY,
    onset=datetime.date(2026, 3, 10),
)
FACTS = (
    Fact(
        what="Provocation tests, 12 Mar 2026",
        words="Familiar pain in 3 of 9 tests on the affected side: Passive stretch, elbow "
        "straight, 6; Resisted wrist extension, 6; Palpation of the common extensor origin, 6 of 10. "
        "Pain at rest before the first test: 1 of 10.",
    ),
    Fact(
        what="Grip, 12 Mar 2026, pain-free, elbow straight",
        words="right (affected) 128 N, mean of 3; left 308 N, mean of 3",
    ),
    Fact(what="Pain, 12 Mar 2026", words="at rest 1, worst in 24 h 5, on gripping 5 of 10"),
    Fact(
        what="Examined, 12 Mar 2026",
        words="Found: Can't straighten fully (right). Not found: Can't straighten fully (left).",
    ),
    Fact(
        what="Also answered yes",
        words="“Have you had injections in this elbow, or is one planned? When?”",
    ),
)
ASKED = Asked(
    to="the emergency department",
    address="Harbor General Hospital\n3 Mole Street, Sandhaven",
    urgency=Urgency.SAME_DAY,
    ask="Please examine the elbow after the injury and decide about an X-ray. Please tell us what you "
    "found, and whether and from when the arm may be loaded.",
    remark="The patient drives home alone and has been told to keep the arm in a sling.",
)


def a_letter(**changes) -> ReferralLetter:
    """A letter about a fall, but for `changes`."""
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        born=datetime.date(1981, 5, 4),
        affected=Side.RIGHT,
        on=TODAY,
        reason=REASON,
        facts=FACTS,
        exercises=(
            "No exercise program is given until this is settled.",
            "Put off until this is settled: all resisted tests and grip tests.",
        ),
        asked=ASKED,
        writer="Ida Solvang",
        registration="PH-1001",
    )
    return ReferralLetter(**(usual | changes))


def asked(**changes) -> Asked:
    return replace(ASKED, **changes)


def pages(letter: ReferralLetter, paper: Paper) -> tuple[str, ...]:
    return page_texts(printed(letter, paper))


def words_in(part) -> list[str]:
    """Every text that a part of the letter holds, in the order of its fields."""
    if is_dataclass(part):
        return [word for field in fields(part) for word in words_in(getattr(part, field.name))]
    if isinstance(part, tuple):
        return [word for item in part for word in words_in(item)]
    return [say(part)] if isinstance(part, str) and part and not isinstance(part, StrEnum) else []


def test_everything_that_the_letter_holds_is_printed():
    text = text_of(printed(a_letter(), Paper())).replace("\u00a0", " ")

    lines = [line for word in words_in(a_letter()) for line in word.splitlines()]
    assert [line for line in lines if line not in text] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_the_usual_letter_is_one_page_from_the_addressee_to_the_signature(paper):
    (page,) = pages(a_letter(), paper)

    assert page.startswith("To the emergency department Harbor General Hospital")
    assert page.index("Ida Solvang, registration number PH-1001") > page.index("Please note")


@pytest.mark.parametrize("paper", PAPERS)
def test_a_high_logo_leaves_the_usual_letter_on_its_page(paper):
    letter = a_letter(clinic=replace(CLINIC, logo=png(500, 500)))

    assert len(pages(letter, paper)) == 1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("lines", [1, 10, 20])
def test_a_long_remark_goes_on_and_the_signature_is_never_alone(paper, lines):
    remark = "\n".join([("Every word of it counts. " * 160)[: 4000 // lines]] * lines)
    texts = pages(a_letter(asked=asked(remark=remark)), paper)

    assert len(texts) > 1
    assert " ".join(texts).count("counts.") == remark.count("counts.")
    assert ["Ida Solvang" in text and "states no diagnosis" in text for text in texts] == [
        *[False] * (len(texts) - 1),
        True,
    ]


@pytest.mark.parametrize(
    ("urgency", "words"),
    [
        (Urgency.SAME_DAY, "Please see this patient the same day."),
        (Urgency.URGENT, "Please see this patient urgently."),
        (Urgency.SOON, "Please see this patient soon."),
        (Urgency.NOT_URGENT, "Please see this patient; it is not urgent."),
    ],
)
def test_how_fast_is_the_first_sentence_after_the_name(urgency, words):
    text = text_of(printed(a_letter(asked=asked(urgency=urgency)), Paper()))

    assert f"right elbow {words} Reason" in text


def test_the_reason_is_the_question_in_its_own_words_with_its_answer_and_since_when():
    assert (
        "To “Did it start with a fall or a direct blow, above all in the last three days?” the answer "
        "was yes on 12 Mar 2026; the right elbow has hurt since 10 Mar 2026. Noted with it: fell from "
        "a ladder on the slipway."
    ) in text_of(printed(a_letter(), Paper()))


def test_an_answer_that_has_been_the_same_before_says_since_when():
    before = replace(REASON, answer=Answer.UNKNOWN, note="", since=datetime.date(2026, 2, 26))
    text = text_of(printed(a_letter(reason=before), Paper()))

    assert "the answer has been not known since 26 Feb 2026, last on 12 Mar 2026;" in text
    assert "Noted with it" not in text


def test_without_address_remark_and_registration_nothing_stands_in_their_place():
    bare = a_letter(asked=asked(address="", remark=""), registration="")
    text = text_of(printed(bare, Paper()))

    assert text.startswith("To the emergency department 1 Harbor Road Sandhaven")
    assert "Remark" not in text
    assert "Ida Solvang, registration number –" in text


@pytest.mark.parametrize("code", REFERRALS)
def test_no_letter_names_a_condition(code):
    referral = REFERRALS[code]
    letter = a_letter(
        reason=replace(REASON, question=BY_CODE[code].question),
        asked=asked(to=referral.to.label, urgency=referral.urgency, ask=referral.ask),
    )
    text = text_of(printed(letter, Paper()))

    assert BY_CODE[code].question in text
    assert BY_CODE[code].condition not in text
    assert "This letter states no diagnosis." in text


def test_the_patient_is_told_whom_to_call():
    text = text_of(printed(a_letter(), Paper())).replace("\u00a0", " ")

    assert "get help at once; in an emergency call 112." in text


def test_large_print_has_its_labels_above_the_text_and_nothing_small():
    large = printed(a_letter(), Paper(body=LARGE))

    assert sorted(sizes_of(large))[:2] == [14, 18]
    assert len(opened(large).pages) == 2


def test_type_is_in_the_file():
    assert set(fonts_of(printed(a_letter(), Paper())).values()) == {True}


def test_a_sign_that_the_type_lacks_is_refused():
    with pytest.raises(CannotPrint, match="王"):
        referral_letter_pdf(a_letter(asked=asked(remark="王")), Paper())
