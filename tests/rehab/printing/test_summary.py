"""The course summary, read back out of the PDF."""

from dataclasses import replace

import pytest
from django.utils import translation
from django.utils.translation import gettext

from rehab.printing.paper import A4, LARGE, LETTER, Paper
from rehab.printing.summary import summary_pdf
from rehab.printing.summary_facts import Plan, Spot
from tests.rehab.printing.sheets import PAPERS, TODAY, opened, page_texts, text_of
from tests.rehab.printing.summaries import (
    ASKED,
    CLOSED,
    COURSE,
    FIRST,
    INJECTED,
    LOCKING,
    NOTHING,
    PLAN,
    ROUND,
    SIGNED,
    WHY,
    a_summary,
)

IN_ORDER = (
    "Marit Oyelaran",
    "Right elbow · record 0217 · born 2 Jun 1984 · seen 8 times, 8 Jan 2026 to 11 Mar 2026",
    "Your pain when you grip went from 6 to 3 out of 10. Your grip before it hurts went from 21.2 to",
    "Why you came",
    "The pain came on gradually, about 16 Nov 2025.",
    "It hurts with gripping, using tools, lifting with the palm down.",
    "You want to be able to: caulk a deck, row to the mooring, lift the toolbox.",
    "What we found",
    "4 of 5 tests of this elbow gave the familiar pain, the one you came with.",
    "Resisted wrist extension: 4 of 10; on 8 Jan 2026 it was 6.",
    "we asked 21 questions about warning signs",
    "The answer to each was no.",
    "How it is now",
    "Pain on gripping, 0–10 6 3 better by 3, beyond error (1.4) 3 of 3",
    "Grip ratio, affected to other side 0.46 0.77 better by 0.31; no published error fits –",
    "Global rating of change, −5 to 5 – 2 better by 2, beyond error (0.45) 1 of 2",
    "Time off work, days 6 0 not compared: the periods differ in length –",
    "Error: how far such numbers differ when nothing has changed.",
    "Measured once: Maximal grip, kg: 29 (8 Jan 2026).",
    "Stages: 1 settle and hold; 2 slow light lifting, elbow bent; 3 stronger: elbow straight,",
    "What you do now",
    "Stage 3 of 5 since 20 Feb 2026 (stronger: elbow straight, rotation), program 8.",
    "Straight-arm wrist lift: 3 × 12, 3.1 kg. Do this on 3 days a week.",
    "Pain of 0–3 during an exercise is all right. At 4–5, do the same again and add nothing. "
    "Pain of 6–10 is too much.",
    "The plan",
    "Your next visit is on Thursday, 26 Mar 2026 at 09:30, with Ida Solvang.",
    "On 11 Mar 2026 we decided: you stay in this stage and do a little more.",
    "Still to reach for stage 4: At least 21 days in this stage. Your grip is 80 % of the other arm",
    "Take care",
    "This sheet does not say what is wrong with your arm.",
    "Get help the same day if the elbow is hot, red and swollen",
    "Call 112 at once",
    "Sources: see the printed course.",
    "Ida Solvang Registration number PH-1001",
    "The last signed visit is of 11 Mar 2026, signed by Ida Solvang.",
)


def text(*, paper: Paper | None = None, **changes) -> str:
    return text_of(summary_pdf(a_summary(**changes), paper or Paper()))


def test_everything_stands_in_the_order_in_which_it_is_asked():
    printed = text()
    places = [printed.find(words) for words in IN_ORDER]

    assert [words for words, place in zip(IN_ORDER, places, strict=True) if place < 0] == []
    assert places == sorted(places)


@pytest.mark.parametrize("page", [A4, LETTER])
def test_the_usual_case_takes_two_pages(page):
    assert len(opened(summary_pdf(a_summary(), Paper(page=page))).pages) == 2


@pytest.mark.parametrize("paper", PAPERS)
def test_the_signature_never_stands_on_a_page_alone(paper):
    pages = page_texts(summary_pdf(a_summary(), paper))

    assert ["Registration number" in page for page in pages] == [
        "Take care" in page for page in pages
    ]


def test_large_print_says_the_same_of_a_measure():
    printed = text(paper=Paper(body=LARGE))

    assert "Pain on gripping, 0–10 6 3 better by 3, beyond error (1.4); reached: 3 of 3" in printed
    assert "Time off work, days 6 0 not compared: the periods differ in length Pain" in printed


def test_other_days_than_those_of_the_sheet_stand_with_the_change():
    first, *others = COURSE.visits
    later = replace(COURSE, visits=(replace(first, answers={}), *others))

    assert "better by 10, beyond error (9.7) (5 Feb 2026 – 11 Mar 2026)" in text(course=later)


def test_a_draft_visit_is_named_at_the_signature_and_on_every_page():
    draft = replace(SIGNED, draft_on=TODAY)
    pages = page_texts(summary_pdf(a_summary(signed=draft), Paper()))

    assert ["The visit of 12 Mar 2026 is not signed yet." in page for page in pages] == [True] * 2
    assert "What this sheet says of it may still change." in pages[-1]
    assert "not signed" not in text()


def test_who_has_no_registration_number_is_named_without_one():
    assert "No registration number is on record." in text(signed=replace(SIGNED, registration=""))


def test_an_answer_that_is_no_plain_no_is_told_with_what_was_done():
    done = replace(LOCKING, done="Sent for a scan", done_on=FIRST)
    printed = text(screened=replace(ASKED, left=1, flags=(done, INJECTED)))

    assert "The answer to 19 of them was no. 1 question was not asked yet." in printed
    assert "at the radial head. Done on 8 Jan 2026: Sent for a scan." in printed
    assert (
        "Yes: corticosteroid injection (one, by the family doctor). Not yet: maximal grip"
        in printed
    )


def test_an_answer_that_nobody_acted_on_comes_before_a_program():
    unknown = replace(LOCKING, known=False)
    printed = text(screened=replace(ASKED, flags=(unknown,)), work=None)

    assert "at the radial head. What was done about it is not written down yet." in printed
    assert "There is no program now. What the questions found comes first." in printed


def test_signs_that_were_found_stand_with_the_answers():
    signs = (("Neck, four tests counted together", "3 of 4 found."),)

    assert "Neck, four tests counted together: 3 of 4 found." in text(
        screened=replace(ASKED, signs=signs)
    )


def test_what_is_not_counted_is_told_apart():
    seen = (("Resisted supination", "weak, without pain"),)
    tested = replace(ROUND, elsewhere=seen, other_side=2, performed="Done with a partner.")
    printed = text(round=tested)

    assert "Also seen, and not counted: • Resisted supination: weak, without pain." in printed
    assert "Done with a partner." in printed
    assert "On the other side 2 tests did." in printed


def test_a_first_round_is_compared_with_nothing():
    spots = (Spot(test="Resisted wrist extension", now=6),)

    assert "Resisted wrist extension: 6 of 10. On" in text(
        round=replace(ROUND, spots=spots, first_on=None)
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_a_first_visit_has_its_values_and_nothing_to_compare(paper):
    first = replace(COURSE, visits=COURSE.visits[:1])
    printed = text(course=first, since=FIRST, until=FIRST, visits=1, paper=paper)

    assert "Your pain when you grip: 6 out of 10. Your grip before it hurts: 21.2 kg." in printed
    assert "Maximal grip, kg 29 Measured on 8 Jan 2026. There is nothing to compare" in printed
    assert ("seen on 8 Jan 2026" in printed, "Reached" in printed) == (True, False)


def test_a_sore_other_elbow_is_told_at_the_ratio():
    assert "0.46 0.77 not compared: other elbow sore too –" in text(sore=True)


def test_a_new_case_says_what_is_still_missing():
    printed = text(**NOTHING)
    missing = (
        "no visit yet",
        "The pain began about 8 Jan 2026.",
        "The elbow has not been tested yet.",
        "The questions about warning signs were not asked yet.",
        "Nothing has been measured yet.",
        "There is no program now.",
        "Your next visit is not booked yet. Please call +44 1632 960001.",
        "No visit of this case is signed yet.",
    )

    assert [words for words in missing if words not in printed] == []
    assert "Sources" not in printed


def test_a_closed_case_says_why_and_whom_to_call():
    printed = text(plan=Plan(closed=CLOSED))

    assert f"{CLOSED}. If the pain comes back, call us on +44 1632 960001." in printed
    assert "next visit" not in printed


def test_a_day_that_is_over_was_wanted():
    assert "We wanted to see you again by 27 Mar 2026." in text(plan=replace(PLAN, overdue=True))


@pytest.mark.parametrize(
    ("language", "why", "is_said"),
    [
        ("es", WHY, True),
        ("es", replace(WHY, occupation="", sport="", wants=()), False),
        ("en", WHY, False),
    ],
)
def test_what_was_typed_is_said_to_be_quoted_where_the_sheet_has_another_language(
    language, why, is_said
):
    with translation.override(language):
        told = " ".join(
            text_of(summary_pdf(a_summary(language=language, why=why), PAPERS[0])).split()
        )
        quoted = gettext("Work, free time and wishes are quoted as they were written down.")

    assert (quoted in told) == is_said


def test_nothing_names_a_disease():
    tested = text(round=replace(ROUND, performed="Done with a partner."), measured=None)

    assert [word for word in ("tendin", "condyl", "tennis") if word in tested.lower()] == []
