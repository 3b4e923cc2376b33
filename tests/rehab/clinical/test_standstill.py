"""Arms that the ladder would otherwise leave where they are: found by a year of invented arms."""

import pytest

from rehab.clinical.progression import LoadStep, propose
from rehab.clinical.reviewing import MessageKind, time_reached
from rehab.clinical.thresholds import DEFAULTS
from tests.rehab.clinical.arms import (
    READY,
    SPARE,
    arm,
    diary,
    heavy_arm,
    holding_arm,
    returning_arm,
)

BETTER = {"weeks_in_care": 20, "prtee_start": 60.0, "prtee_today": 28.0}


def asked(proposal):
    """The reviews that a proposal asks for, in words."""
    return [str(one.words) for one in proposal.messages if one.kind is MessageKind.REVIEW]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"days_since_load_step": 41, "days_in_stage": 60}, []),
        (
            {"days_since_load_step": 42, "days_in_stage": 60},
            ["6 weeks at the same load: find what holds it."],
        ),
        ({"days_since_load_step": 7, "days_in_stage": 83}, []),
        (
            {"days_since_load_step": 7, "days_in_stage": 84},
            ["12 weeks in this stage: find what holds it."],
        ),
    ],
)
def test_an_arm_that_got_better_and_stands_still_is_reviewed(changes, words):
    assert asked(propose(arm(**(BETTER | changes)))) == words


def test_the_last_stage_has_no_load_to_stand_still_at():
    still = returning_arm(**BETTER, days_since_load_step=50, days_in_stage=50)
    assert asked(propose(still)) == []


def test_an_arm_that_nobody_measured_is_reviewed_as_well():
    unknown = {"prtee_today": None, "worst_pain_today": None, "weeks_in_care": 20}
    still = arm(**unknown, days_since_load_step=42, days_in_stage=60)
    assert asked(propose(still)) == ["6 weeks at the same load: find what holds it."]


def test_work_without_a_weight_can_be_made_heavier_again():
    proposal = propose(arm(load_kg=0.0, start_load_kg=0.0, diary=SPARE))
    assert (proposal.load_step, proposal.next_load_kg) == (LoadStep.ADD, 0.1)


@pytest.mark.parametrize("ready", [READY[2], heavy_arm])
def test_work_without_a_weight_that_was_too_much_is_done_fewer_times(ready):
    too_much = ready(load_kg=0.0, diary=diary(last={1: {"worst_pain": 6}}))
    words = [str(reason) for reason in propose(too_much).reasons]
    assert "It is done without a weight already: do fewer repetitions." in words


@pytest.mark.parametrize(("seconds", "holds"), [(20, None), (25, 5), (30, 5)])
def test_many_short_holds_become_five_again_when_they_are_long_enough(seconds, holds):
    days = diary(7, sets_done=10, last_set_repetitions=None, hold_s=seconds)
    proposal = propose(holding_arm(sets_asked=10, hold_s_asked=seconds, diary=days))
    assert (proposal.next_hold_s, proposal.next_sets) == (seconds + 5, holds)


@pytest.mark.parametrize(
    ("seen", "today", "asks"),
    [
        (0, 5, None),
        (5, 6, MessageKind.REVIEW),
        (6, 11, None),
        (11, 12, MessageKind.RE_EXAMINE),
        (12, 25, None),
        (25, 26, MessageKind.REFER),
        (0, 30, MessageKind.REFER),
        (26, 90, None),
    ],
)
def test_each_time_to_look_again_is_asked_for_once(seen, today, asks):
    assert time_reached(seen, today, DEFAULTS) is asks
