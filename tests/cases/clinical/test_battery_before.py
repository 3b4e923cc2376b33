import re

import pytest

from cases.clinical.battery_before import (
    before_the_tests,
    fingers_do_not_lift,
    open_emergencies,
)
from cases.clinical.screening import QUESTIONS, Answer, GivenAnswer
from tests.cases.clinical.rounds import words


def answered(code, answer=Answer.YES, action_taken=""):
    return (GivenAnswer(code=code, answer=answer, action_taken=action_taken),)


@pytest.mark.parametrize(
    ("answers", "codes"),
    [
        ((), []),
        (answered("hot-joint"), ["hot-joint"]),
        (answered("hot-joint", Answer.NO), []),
        (answered("hot-joint", action_taken="Sent in."), []),
        (answered("fracture"), []),
    ],
)
def test_only_an_open_emergency_has_to_be_confirmed(answers, codes):
    assert [question.code for question in open_emergencies(answers)] == codes


@pytest.mark.parametrize(
    ("answer", "found"), [(Answer.YES, True), (Answer.NO, False), (Answer.UNKNOWN, False)]
)
def test_fingers_that_do_not_lift_are_known_from_the_screening(answer, found):
    assert fingers_do_not_lift(answered("finger-drop", answer)) is found


def test_an_emergency_is_said_before_what_is_put_off():
    answers = (*answered("hot-joint"), *answered("fracture"))

    assert words(before_the_tests(answers)) == [
        "Screening: hot, red, swollen joint or fever. Emergency, same day, and nothing is written "
        "down about it yet.",
        "Screening: fracture or dislocation. Put off until cleared: all resisted tests and grip "
        "tests.",
    ]


@pytest.mark.parametrize("answer", [Answer.YES, Answer.UNKNOWN])
def test_whatever_puts_off_a_test_is_said_before_the_tests(answer):
    """Not known counts like yes; the maximal grip is no test of the round."""
    codes = [q.code for q in QUESTIONS if re.search(r"\btests\b|everything|finger", q.defers)]

    assert len(codes) > 5
    assert [code for code in codes if not before_the_tests(answered(code, answer))] == []


def test_what_was_found_out_about_an_emergency_puts_nothing_off_any_more():
    seen_to = answered("heart-or-chest", Answer.UNKNOWN, "Seen by the doctor: not the heart.")

    assert before_the_tests(seen_to) == ()


def test_what_puts_off_no_test_is_not_repeated_here():
    assert before_the_tests(answered("radial-tunnel")) == ()
