"""The return plan, read back from the PDF."""

import re
from functools import cache

import pytest

from rehab.clinical.exercises import card
from rehab.clinical.lifting import Grip, lifting_steps
from rehab.clinical.returning import INTERVAL_STEPS, return_steps
from rehab.printing import return_plan
from rehab.printing.advice import stop_signs
from rehab.printing.fonts import CannotPrint
from rehab.printing.return_plan import ReturnPlan, extras, go_on, return_plan_pdf
from tests.rehab.printing.reading import reading_ease
from tests.rehab.printing.sheets import (
    CLINIC,
    LIMITS,
    PAPERS,
    TODAY,
    fonts_of,
    opened,
    page_texts,
    sizes_of,
    text_of,
)

printed = cache(return_plan_pdf)


def a_plan(**changes) -> ReturnPlan:
    """The racket program with step 7 next, but for `changes`."""
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        elbow="Right elbow",
        language="en",
        on=TODAY,
        version=12,
        steps=return_steps("racket"),
        next_step=7,
        job_kg=None,
        limits=LIMITS,
    )
    return ReturnPlan(**(usual | changes))


def lifting(**changes) -> ReturnPlan:
    return a_plan(**({"steps": lifting_steps(22.7), "next_step": 4, "job_kg": 22.7} | changes))


def row_of(step) -> str:
    counts = (
        step.ground_strokes,
        step.serves or "–",
        f"{step.stroke_percent} %",
        step.games or "–",
    )
    number = f"{step.number} next" if step.number == 7 else str(step.number)
    return " ".join(map(str, (number, *counts)))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_step_of_the_racket_program_is_on_the_sheet(paper):
    text = text_of(printed(a_plan(), paper))

    assert [step.number for step in INTERVAL_STEPS[:-1] if row_of(step) not in text] == []
    assert "21 a whole match" in text


@pytest.mark.parametrize("paper", PAPERS)
def test_every_step_of_lifting_is_on_the_sheet_with_its_weight_and_grip(paper):
    text = text_of(printed(lifting(), paper))

    kg = ["2.2", "4.5", "6.8", "9", "11.3", "13.6", "15.8", "18.1", "20.4", "22.7"]
    assert [weight for weight in kg if f" {weight} kg" not in text] == []
    assert [grip for grip in Grip if grip.value not in text] == []
    assert "your job asks for up to 22.7 kg" in text


@pytest.mark.parametrize("plan", [a_plan(), lifting()])
@pytest.mark.parametrize("paper", [PAPERS[0], PAPERS[2]])
def test_all_steps_and_the_rule_fit_on_one_page(plan, paper):
    assert len(opened(printed(plan, paper)).pages) == 1


def test_rules_too_long_for_the_margin_go_below_the_steps(monkeypatch):
    monkeypatch.setattr(return_plan, "extras", lambda plan: ("A long rule. " * 20,) * 4)

    texts = page_texts(return_plan_pdf(a_plan(), PAPERS[0]))
    assert [place for place, text in enumerate(texts) if "A long rule." in text] == [1]


def test_only_the_next_step_is_marked():
    texts = [text_of(printed(plan, PAPERS[0])) for plan in (a_plan(), lifting())]

    assert [re.findall(r"\b(\d+) next\b", text) for text in texts] == [["7"], ["4"]]
    assert "Your next step is number 7." in texts[0]


@pytest.mark.parametrize("plan", [a_plan(), lifting()])
@pytest.mark.parametrize("paper", PAPERS)
def test_when_to_go_on_and_when_to_stop_is_said(plan, paper):
    text = text_of(printed(plan, paper))
    signs = [f"{sign.text}" % dict(sign.values) for sign in stop_signs(LIMITS)]
    sentences = [*go_on(plan), *extras(plan), *signs]

    assert [said for said in sentences if said.replace("\u00a0", " ") not in text] == []


def test_lifting_is_asked_as_often_as_on_its_card():
    """Both sheets go home together: 2–3 days a week, common practice."""
    assert "2–3 days a week" in card("lift-and-carry").usual_dose
    assert "Lift on 2 or 3 days a week" in go_on(lifting())[0]


@pytest.mark.parametrize("plan", [a_plan(), lifting()])
@pytest.mark.parametrize("paper", PAPERS)
def test_it_defers_to_the_physiotherapist_and_to_local_rules(plan, paper):
    text = text_of(printed(plan, paper))

    assert "What your physiotherapist tells you comes first." in text
    assert "So do the rules of the place where you live." in text


def test_the_words_are_plain():
    for plan in (a_plan(), lifting()):
        assert reading_ease(" ".join([*go_on(plan), *extras(plan)])) >= 80


@pytest.mark.parametrize(
    ("plan", "source"),
    [
        (
            a_plan(),
            "Myers 2016, Sports Health 8:536–540, doi:10.1177/1941738116657074 (published). "
            "A general program for elite players, not made for the elbow.",
        ),
        (lifting(), "Graded lifting: common practice, no source."),
    ],
)
def test_the_sheet_says_where_the_plan_comes_from(plan, source):
    assert source in text_of(printed(plan, PAPERS[0]))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_ends_with_whose_it_is_and_where_it_belongs(paper):
    pages = page_texts(printed(a_plan(), paper))

    for number, text in enumerate(pages, start=1):
        assert text.endswith(
            "Quayside Clinic Return plan Marit Oyelaran · record 0217 · 12 Mar 2026 "
            f"Program 12 · page {number} of {len(pages)} 1 Harbor Road, Sandhaven, +44 1632 960001"
        )


@pytest.mark.parametrize("paper", PAPERS)
def test_type_is_embedded_and_large_enough(paper):
    data = printed(a_plan(), paper)
    foot, smallest = sorted(sizes_of(data))[:2]

    assert set(fonts_of(data).values()) == {True}
    assert (foot, smallest) == ((14, 18) if paper.large else (10, 12))


@pytest.mark.parametrize("step", [0, 22])
def test_a_next_step_that_the_plan_lacks_is_refused(step):
    with pytest.raises(ValueError, match="not in the plan"):
        a_plan(next_step=step)


def test_a_name_that_the_type_lacks_is_refused():
    with pytest.raises(CannotPrint, match="王"):
        return_plan_pdf(a_plan(patient="王芳"), PAPERS[0])
