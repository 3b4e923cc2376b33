"""Whom a letter is for, how fast, and what it asks."""

import datetime
import re

import pytest

from cases.clinical.referral import REFERRALS, Addressee, Urgency, letter_given
from cases.clinical.screening import BY_CODE, QUESTIONS, STOPPING
from cases.clinical.screening_questions import Action
from clinic.evidence import Status

each_referral = pytest.mark.parametrize("code", REFERRALS)


def test_every_question_that_stops_a_program_has_its_letter_and_no_other_has():
    stopping = [question.code for question in QUESTIONS if question.action in STOPPING]

    assert list(REFERRALS) == stopping


def test_what_is_an_emergency_is_for_the_same_day():
    emergencies = [q.code for q in QUESTIONS if q.action is Action.EMERGENCY]

    assert {REFERRALS[code].urgency for code in emergencies} == {Urgency.SAME_DAY}


@pytest.mark.parametrize(
    ("word", "urgency"),
    [
        (r"today|\bnow\b", Urgency.SAME_DAY),
        (r"^Refer urgently", Urgency.URGENT),
        ("not urgent", Urgency.NOT_URGENT),
    ],
)
def test_how_fast_is_what_the_advice_of_the_row_says(word, urgency):
    said = [code for code in REFERRALS if re.search(word, BY_CODE[code].advice)]

    assert said
    assert {REFERRALS[code].urgency for code in said} == {urgency}


def test_what_a_published_pathway_calls_an_emergency_is_for_the_same_day():
    # NHS Gloucestershire elbow pathway, g-care.glos.nhs.uk: hot swollen joint with raised temperature,
    # infection, suspected fracture or dislocation, recent rupture of a tendon. MHRA 2019 asks to stop a
    # fluoroquinolone at the first sign of tendon pain.
    printed = {"hot-joint", "septic-bursitis", "fracture", "tendon-tear", "fluoroquinolone-now"}

    published = {
        code
        for code, referral in REFERRALS.items()
        if referral.urgency is Urgency.SAME_DAY and referral.status is Status.PUBLISHED
    }
    assert published == printed


def test_a_request_to_a_doctor_leaves_the_medicine_to_the_doctor():
    ask = REFERRALS["fluoroquinolone-now"].ask

    assert ask.startswith("Please decide")
    assert "(MHRA 2019) advises" in ask


@each_referral
def test_what_is_asked_is_one_plain_request_that_names_no_condition(code):
    ask = REFERRALS[code].ask

    assert ask.startswith("Please ")
    assert BY_CODE[code].condition not in ask


def test_one_urgency_is_slower_than_another():
    fast, slow = Urgency.SAME_DAY, Urgency.SOON

    assert (slow.is_slower_than(fast), fast.is_slower_than(slow), slow.is_slower_than(slow)) == (
        True, False, False,
    )  # fmt: skip


def test_what_was_done_with_a_letter_is_one_sentence():
    said = letter_given(Addressee.PRESCRIBER, on=datetime.date(2026, 3, 12))

    assert str(said) == (
        "Letter to the doctor who prescribed the medicine given to the patient on 2026-03-12."
    )
