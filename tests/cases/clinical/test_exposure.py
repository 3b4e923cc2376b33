"""Load told at intake: what reaches a source's limit, and what does not."""

import pytest

from cases.clinical.exposure import LoadHistory, rise_of_hours, tension_n, touched

FORCEFUL = "Work is forceful and repetitive."
BENT = "Wrist bent 2.5 h a day in forceful work."


def sentences(**told) -> list[str]:
    return [str(one.sentence) for one in touched(LoadHistory(**told))]


def test_nothing_told_touches_nothing():
    assert sentences() == []


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"work_force": True, "work_repetition": True}, [FORCEFUL]),
        ({"work_force": True, "work_repetition": False}, []),
        ({"work_force": True}, []),
        ({"work_force": True, "work_bent_hours": 2.5}, [BENT]),
        ({"work_force": True, "work_bent_hours": 2}, []),
        ({"work_bent_hours": 2.5}, []),
        ({"work_tools": True}, ["Uses tools over 1 kg."]),
        ({"work_heavy": True}, ["Handles more than 20 kg."]),
        ({"work_twisting": True}, ["Twists the forearm again and again."]),
        ({"screen_hours": 20}, []),
        ({"screen_hours": 20.5}, ["At a screen 20.5 h a week."]),
        ({"racket_hours": 7.9}, []),
        (
            {"racket_hours": 8},
            ["Plays 8 h a week, as much as sufferers before it began."],
        ),
        (
            {"racket_hours": 5, "racket_hours_before": 3},
            ["Play went up from 3 to 5 h a week in 8 weeks."],
        ),
        ({"racket_hours": 3, "racket_hours_before": 3}, []),
        (
            {"string_tension_n": 244.65},
            ["Strings at 245 N; tighter ones passed on more acceleration."],
        ),
    ],
)
def test_a_limit_is_over_its_own_value(told, said):
    assert sentences(**told) == said


@pytest.mark.parametrize(("before", "now", "rise"), [(3, 5, 2), (5, 3, -2), (0, 168, 168)])
def test_the_rise_is_what_was_added(before, now, rise):
    assert rise_of_hours(before, now) == rise


@pytest.mark.parametrize(("before", "now"), [(-1, 3), (3, 169), (float("nan"), 3)])
def test_hours_that_no_week_has_are_refused(before, now):
    with pytest.raises(ValueError, match="do not fit into a week"):
        rise_of_hours(before, now)


@pytest.mark.parametrize(("tension", "unit"), [(0, "N"), (-3, "kgf"), (20, "stone")])
def test_a_tension_without_sense_is_refused(tension, unit):
    with pytest.raises(ValueError, match="tension"):
        tension_n(tension, unit)
