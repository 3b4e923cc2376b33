"""One stage back for three to seven days, and what costs a stage."""

from dataclasses import replace

import pytest

from rehab.clinical.progression import LoadStep, propose
from rehab.clinical.thresholds import DEFAULTS
from tests.rehab.clinical.arms import REST, arm, diary

BACK = {"days_in_stage": 3, "days_back": 3, "load_kg": 1.0, "start_load_kg": 1.0}


@pytest.mark.parametrize(
    ("changes", "decision"),
    [
        ({}, "move up"),
        ({"days_back": 2, "days_in_stage": 2}, "stay"),
        ({"days_back": 7, "days_in_stage": 7}, "move up"),
        # After a week in the stage below its own criteria count: three weeks, 0.3 kg more.
        ({"days_back": 8, "days_in_stage": 8}, "stay"),
        ({"diary": diary(last={1: {"worst_pain": 4}})}, "stay"),
        ({"diary": diary(last={1: {"next_morning_pain": None}})}, "stay"),
        ({"days_back": None}, "stay"),
    ],
)
def test_a_step_back_lasts_three_to_seven_days(changes, decision):
    assert propose(arm(**(BACK | changes))).decision == decision


def test_nothing_is_added_while_a_stage_back():
    spare = arm(
        **(BACK | {"days_back": 2, "days_in_stage": 2, "diary": diary(last_set_repetitions=17)})
    )
    assert propose(spare).load_step is LoadStep.KEEP


@pytest.mark.parametrize(("nights", "decision"), [(1, "stay"), (2, "step back")])
def test_new_waking_on_two_nights_costs_a_stage_however_many_sessions_were_too_much(
    nights, decision
):
    reds = DEFAULTS["reds_for_stage_back"]
    limits = dict(DEFAULTS) | {reds.code: replace(reds, value=3)}
    woken = {ago: REST | {"night_wakings": 1} for ago in range(1, 1 + nights)}
    assert propose(arm(diary=diary(last=woken)), limits=limits).decision == decision
