"""The decision: from an arm that is ready, spoiling one thing at a time."""

import json

import pytest

from clinic.wording import say
from rehab.clinical.criteria import LOAD_RULES, STAGE_RULES
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import Decision, LoadStep, Proposal, propose
from rehab.clinical.thresholds import in_force
from tests.rehab.clinical.arms import (
    READY,
    REST,
    SPARE,
    arm,
    diary,
    diary_day,
    heavy_arm,
    holding_arm,
    returning_arm,
    slow_arm,
)  # fmt: skip


def test_every_stage_has_its_rules():
    assert (list(STAGE_RULES), list(LOAD_RULES)) == (list(Stage), list(Stage))


@pytest.mark.parametrize("stage", [1, 2, 3, 4])
def test_an_arm_that_meets_everything_moves_up(stage):
    proposal = propose(READY[stage]())
    assert (proposal.decision, proposal.next_stage) == (Decision.MOVE_UP, stage + 1)
    assert [row for row in proposal.criteria if row.about == "stage" and not row.held] == []


def test_the_last_stage_ends_in_discharge():
    proposal = propose(returning_arm())
    assert proposal.decision is Decision.STAY
    assert [str(words) for words in proposal.reasons] == ["The criteria for discharge hold."]


SPOILED = [
    (1, {"days_in_stage": 6}, "Time in this stage", False),
    (1, {"diary": diary(7, sets_done=5, hold_s=44)}, "Full holds settled on days in a row", False),
    (1, {"diary": diary(7, {2: REST}, sets_done=5, hold_s=45)},
     "Full holds settled on days in a row", False),
    (1, {"diary": diary(7, {6: {"night_wakings": 1}, 5: {"night_wakings": 1}}, sets_done=5,
                        hold_s=45), "usual_night_wakings": 1}, "Quiet nights", False),
    (1, {"diary": diary(7, {6: {"night_wakings": None}}, sets_done=5, hold_s=45)},
     "Quiet nights", None),
    (1, {"rest_pain": 3}, "Pain at rest", False),
    (1, {"rest_pain": None}, "Pain at rest", None),
    (2, {"days_in_stage": 20}, "Time in this stage", False),
    (2, {"diary": diary(last={2: {"last_set_repetitions": 14}})},
     "The full dose settled, sessions running", False),
    (2, {"diary": diary(last={2: {"last_set_repetitions": None}})},
     "The full dose settled, sessions running", None),
    (2, {"diary": diary(last={1: {"sets_done": 2}})},
     "The full dose settled, sessions running", False),
    (2, {"diary": diary(last={1: {"load_kg": 1.2}})},
     "The full dose settled, sessions running", False),
    (2, {"diary": diary(last={1: {"next_morning_pain": None}})},
     "The full dose settled, sessions running", None),
    (2, {"load_kg": 1.2}, "Load added", False),
    (2, {"start_load_kg": None}, "Load added", None),
    (2, {"prtee_today": 41.0}, "PRTEE not worse", False),
    (2, {"prtee_today": None}, "PRTEE not worse", None),
    (2, {"grip_today_n": 57.0}, "Pain-free grip not falling", False),
    (2, {"grip_today_n": None}, "Pain-free grip not falling", None),
    (3, {"days_in_stage": 20}, "Time in this stage", False),
    (3, {"rm_band": 15}, "The full dose settled, sessions running", False),
    (3, {"rm_band": None}, "The full dose settled, sessions running", None),
    (3, {"grip_ratio": 0.79}, "Grip ratio", False),
    (3, {"grip_ratio": None}, "Grip ratio", None),
    (3, {"other_side_sore": True}, "Grip ratio", None),
    (3, {"other_side_sore": None}, "Grip ratio", None),
    (3, {"prtee_today": 31.0}, "PRTEE clearly better", False),
    (3, {"prtee_today": 31.0, "prtee_start": None}, "PRTEE clearly better", None),
    (3, {"prtee_today": None}, "PRTEE clearly better", None),
    (4, {"days_in_stage": 27}, "Time in this stage", False),
    (4, {"rm_band": 8}, "The full dose settled, sessions running", False),
    (4, {"grip_ratio": 0.89}, "Grip ratio", False),
    (4, {"test_lift_pain": 3}, "Test lift", False),
    (4, {"test_lift_pain": None}, "Test lift", None),
    (4, {"diary": diary(last={14: {"worst_pain": 6}}, sets_done=4, last_set_repetitions=6)},
     "Days without a session that was too much", False),
    (4, {"diary": diary(last={9: {"worst_pain": None}}, sets_done=4, last_set_repetitions=6)},
     "Days without a session that was too much", None),
    (5, {"days_in_stage": 20}, "Time in this stage", False),
    (5, {"return_steps_done": None}, "Return plan done", None),
    (5, {"prtee_today": 21.0, "own_goal_met": False}, "PRTEE low, or own goal met", False),
    (5, {"prtee_today": 21.0}, "PRTEE low, or own goal met", None),
    (5, {"grip_ratio": 0.89}, "Grip ratio", False),
    (5, {"diary": diary(last={28: {"worst_pain": 6}})},
     "Days without a session that was too much", False),
    (5, {"diary": diary(20)}, "Days without a session that was too much", None),
]  # fmt: skip


@pytest.mark.parametrize(("stage", "changes", "words", "held"), SPOILED)
def test_one_criterion_is_enough_to_stay(stage, changes, words, held):
    proposal = propose(READY[stage](**changes))
    open_rows = [row for row in proposal.criteria if row.about == "stage" and not row.held]
    assert [(str(row.words), row.held) for row in open_rows] == [(words, held)]
    assert (proposal.decision, proposal.next_stage) == (Decision.STAY, stage)


def test_too_few_sessions_are_said_once_with_what_to_ask():
    proposal = propose(arm(diary=diary(2)))
    assert [str(words) for words in proposal.reasons] == [
        "Not enough to judge: 2 of 14 sessions done (14 %)."
    ]
    assert [str(message.words) for message in proposal.messages] == [
        "Ask what gets in the way, and make it fewer or shorter exercises."
    ]


BOUNDARY = [
    (1, {"rest_pain": 2}),
    (2, {"grip_today_n": 58.0}),
    (2, {"prtee_today": 40.0}),
    (3, {"grip_ratio": 0.80}),
    (3, {"prtee_today": 30.0}),
    (3, {"prtee_today": 35.0, "prtee_start": 50.0}),
    (4, {"grip_ratio": 0.90}),
    (4, {"test_lift_pain": 2}),
    (4, {"job_is_light": True, "rm_band": 8}),
    (4, {"diary": diary(last={15: {"worst_pain": 6}}, sets_done=4, last_set_repetitions=6)}),
]


@pytest.mark.parametrize(("stage", "changes"), BOUNDARY)
def test_at_the_boundary_the_arm_still_moves_up(stage, changes):
    assert propose(READY[stage](**changes)).decision is Decision.MOVE_UP


@pytest.mark.parametrize("changes", [{"prtee_today": 21.0, "own_goal_met": True}, {}])
def test_discharge_accepts_the_patients_own_goal(changes):
    reasons = propose(returning_arm(**changes)).reasons
    assert [str(words) for words in reasons] == ["The criteria for discharge hold."]


DISTANCES = [
    (arm, {"days_in_stage": 19}, "2 days to go"),
    (arm, {"load_kg": 1.1}, "0.2 kg to go"),
    (slow_arm, {"grip_ratio": 0.75}, "0.05 to go"),
    (slow_arm, {"prtee_today": 33.0}, "3 points to go"),
    (slow_arm, {"prtee_today": 33.0, "prtee_start": 46.0}, "2 points to go"),
    (holding_arm, {"rest_pain": 4}, "2 points to go"),
    (returning_arm, {"return_steps_done": 19}, "2 steps to go"),
]


@pytest.mark.parametrize(("ready", "changes", "words"), DISTANCES)
def test_a_criterion_says_how_far_it_is(ready, changes, words):
    rows = [row for row in propose(ready(**changes)).criteria if row.about == "stage"]
    assert [str(row.distance) for row in rows if row.distance] == [words]


def test_a_load_step_that_is_due_comes_before_the_next_stage():
    proposal = propose(arm(diary=SPARE))
    assert (proposal.decision, proposal.load_step) == (Decision.STAY, LoadStep.ADD)
    assert [str(message.words) for message in proposal.messages] == [
        "The criteria of the next stage hold as well; one change at a time."
    ]


@pytest.mark.parametrize(
    "changes",
    [
        {"days_since_load_step": 6},
        {"days_since_load_step": None},
        {"smallest_step_kg": None},
        {"diary": diary(last_set_repetitions=15)},
        {"diary": diary(last={2: {"last_set_repetitions": 15}}, last_set_repetitions=17)},
        {"diary": diary(last={1: {"last_set_repetitions": None}}, last_set_repetitions=17)},
    ],
)
def test_without_one_of_its_criteria_no_load_is_added(changes):
    assert propose(arm(**({"diary": SPARE} | changes))).load_step is LoadStep.KEEP


COARSE = "The next weight would be too big a step: "
WATER = COARSE + "add water (100 ml is 0.1 kg) or a small plate, or shorten the lever."


@pytest.mark.parametrize(
    ("asked", "done", "after"),
    [(15, 16, 16), (15, 17, 17), (15, 21, 17), (18, 20, 20), (19, 21, 20)],
)
def test_equipment_that_is_too_coarse_gives_one_or_two_more_repetitions(asked, done, after):
    days = diary(last_set_repetitions=done)
    proposal = propose(arm(diary=days, smallest_step_kg=0.5, repetitions_asked=asked))
    found = (proposal.load_step, proposal.next_load_kg, proposal.next_repetitions)
    assert found == (LoadStep.ADD, 1.3, after)
    assert [str(words) for words in proposal.reasons[-2:]] == [
        COARSE + "work up to 20 repetitions first.",
        f"Do {after} repetitions instead of {asked}.",
    ]


def test_at_twenty_repetitions_only_finer_equipment_helps():
    days = diary(last_set_repetitions=22)
    proposal = propose(
        arm(diary=days, smallest_step_kg=0.5, repetitions_asked=20, days_in_stage=10)
    )
    found = (proposal.load_step, proposal.next_repetitions, str(proposal.reasons[-1]))
    assert found == (LoadStep.KEEP, None, WATER)


def test_a_repetition_maximum_is_not_left_for_want_of_a_small_weight():
    coarse = slow_arm(diary=SPARE, smallest_step_kg=2.0, days_in_stage=10)
    proposal = propose(coarse)
    found = (proposal.load_step, proposal.next_repetitions, str(proposal.reasons[-1]))
    assert found == (LoadStep.KEEP, None, WATER)


def test_a_heavier_weight_takes_back_the_repetitions_that_stood_in_for_it():
    proposal = propose(arm(diary=diary(last_set_repetitions=20), repetitions_asked=18))
    found = (proposal.load_step, proposal.next_load_kg, proposal.next_repetitions)
    assert found == (LoadStep.ADD, 1.4, 15)


def test_three_sessions_to_watch_take_back_the_repetitions_before_the_weight():
    days = diary(last={n: {"worst_pain": 4} for n in (1, 2, 3)})
    proposal = propose(arm(diary=days, repetitions_asked=17))
    found = (proposal.load_step, proposal.next_load_kg, proposal.next_repetitions)
    assert found == (LoadStep.REDUCE, 1.3, 15)


@pytest.mark.parametrize(
    ("owned_kg", "load_kg", "repetitions"),
    [
        ((1.3, 1.4, 2.0), 1.4, None),
        ((1.3, 1.43), 1.43, None),
        ((1.3, 1.44), 1.3, 17),
        ((1.3, 1.32, 2.0), 1.3, 17),
        ((1.3,), 1.3, 17),
        ((), 1.3, 17),
    ],
)
def test_the_next_load_is_one_that_the_patient_owns(owned_kg, load_kg, repetitions):
    proposal = propose(arm(diary=SPARE, owned_kg=owned_kg))
    assert (proposal.next_load_kg, proposal.next_repetitions) == (load_kg, repetitions)


def test_what_was_too_much_goes_down_to_what_the_patient_owns():
    proposal = propose(arm(diary=diary(last=RED), owned_kg=(0.5, 1.3)))
    assert (proposal.next_load_kg, str(proposal.reasons[-1])) == (
        0.5,
        "Go down to 0.5 kg: the nearest lighter weight takes off more than usual.",
    )


def test_a_proposal_stored_before_there_were_more_repetitions_is_still_read():
    stored = propose(arm(diary=SPARE)).as_json()
    del stored["next_repetitions"]
    assert Proposal.from_json(stored) == propose(arm(diary=SPARE))


def test_holds_grow_before_the_stage_does():
    short = diary(7, sets_done=5, last_set_repetitions=None, hold_s=35)
    proposal = propose(holding_arm(hold_s_asked=35, diary=short))
    assert (proposal.load_step, proposal.next_hold_s) == (LoadStep.ADD, 40)


def test_a_load_step_in_stage_three_goes_on_to_the_next_band():
    proposal = propose(slow_arm(rm_band=15, repetitions_asked=15, diary=SPARE))
    assert (proposal.load_step, proposal.next_load_kg) == (LoadStep.ADD, 3.1)
    assert proposal.next_rm_band == 12


def test_the_return_plan_goes_on_one_step_at_a_time():
    proposal = propose(returning_arm(return_steps_done=11))
    assert (proposal.load_step, proposal.next_return_step) == (LoadStep.ADD, 12)


RED = {1: {"worst_pain": 6}}
REDUCED = [
    (arm, {"diary": diary(last=RED)}, "next_load_kg", 1.1),
    (arm, {"diary": diary(last=RED | {2: {"load_kg": 1.2}})}, "next_load_kg", 1.2),
    (arm, {"diary": diary(last=RED), "days_since_load_step": 0}, "next_load_kg", 1.3),
    (slow_arm, {"diary": diary(last=RED)}, "next_rm_band", 15),
    (heavy_arm, {"diary": diary(last=RED), "rm_band": 6}, "next_rm_band", 8),
    (heavy_arm, {"diary": diary(last=RED), "fast_work": True}, "next_load_kg", 5.0),
    (returning_arm, {"diary": diary(last=RED), "return_steps_done": 9}, "next_return_step", 8),
    (holding_arm, {"diary": diary(7, RED)}, "next_hold_s", 15),
    (holding_arm, {"diary": diary(7, RED)}, "next_sets", 10),
]


@pytest.mark.parametrize(("ready", "changes", "field", "value"), REDUCED)
def test_one_session_too_much_is_answered_within_the_stage(ready, changes, field, value):
    proposal = propose(ready(**changes))
    assert proposal.decision is Decision.STAY
    assert getattr(proposal, field) == value


@pytest.mark.parametrize(
    ("first", "second", "decision"),
    [(7, 1, "step back"), (8, 1, "stay"), (2, 1, "step back")],
)
def test_two_sessions_too_much_within_seven_days_cost_a_stage(first, second, decision):
    days = diary(last={first: {"worst_pain": 6}, second: {"worst_pain": 6}})
    assert propose(arm(diary=days)).decision == decision


def test_sessions_of_the_stage_before_are_not_held_against_this_one():
    days = diary(last={6: {"worst_pain": 6}, 5: {"worst_pain": 6}})
    assert propose(arm(diary=days, days_in_stage=4)).decision is Decision.STAY


def test_new_waking_on_two_nights_costs_a_stage():
    days = diary(last={1: {"night_wakings": 1}, 3: {"night_wakings": 1}})
    proposal = propose(arm(diary=days))
    assert (proposal.decision, proposal.next_stage) == (Decision.STEP_BACK, Stage.ISOMETRIC)


def test_there_is_no_stage_below_the_first():
    days = diary(7, {1: {"worst_pain": 6}, 2: {"worst_pain": 6}})
    proposal = propose(holding_arm(diary=days))
    assert (proposal.decision, proposal.load_step) == (Decision.STAY, LoadStep.REDUCE)


@pytest.mark.parametrize(("count", "load_step", "kg"), [(2, "keep", 1.3), (3, "reduce", 1.2)])
def test_three_sessions_to_watch_cost_one_load_step(count, load_step, kg):
    days = diary(last={n: {"worst_pain": 4} for n in range(1, count + 1)})
    proposal = propose(arm(diary=days))
    assert (proposal.load_step, proposal.next_load_kg) == (load_step, kg)


WATCHED = {n: {"worst_pain": 4} for n in (1, 2, 3)}
STRICTLY_WATCHED = {n: {"next_morning_pain": 2} for n in (1, 2, 3)}


@pytest.mark.parametrize(
    ("ready", "changes", "words"),
    [
        (arm, {"diary": diary(last=WATCHED), "load_kg": None}, "Go one load step down."),
        (returning_arm, {"diary": diary(last=WATCHED), "return_steps_done": 9}, "Go back to step 8."),
        (returning_arm, {"diary": diary(last=WATCHED), "return_steps_done": None},
         "Go one step back in the return plan."),
        (holding_arm, {"diary": diary(7, STRICTLY_WATCHED)}, "Hold 40 s instead of 45 s."),
        (holding_arm, {"diary": diary(7, STRICTLY_WATCHED), "hold_s_asked": None},
         "Hold less long."),
        (arm, {"diary": diary(last=RED), "load_kg": None}, "Take 10–20 % off the load."),
    ],
)  # fmt: skip
def test_every_stage_has_its_own_smaller_step(ready, changes, words):
    proposal = propose(ready(**changes))
    assert (proposal.load_step, str(proposal.reasons[-1])) == (LoadStep.REDUCE, words)


def test_a_week_that_rose_by_two_points_asks_for_less():
    days = diary(14, {n: {"next_morning_pain": 3} for n in range(1, 8)})
    proposal = propose(arm(diary=days, days_in_stage=0))
    assert (proposal.decision, proposal.load_step) == (Decision.STAY, LoadStep.REDUCE)
    assert str(proposal.reasons[0]) == "Mean morning pain 3.0 this week, 1.0 the week before."


def test_a_week_that_rose_by_one_point_allows_no_increase():
    rising = {n: REST | {"next_morning_pain": 2} for n in range(3, 8)}
    days = diary(last=rising | {n: {"next_morning_pain": 2} for n in (1, 2)})
    proposal = propose(arm(diary=days))
    assert (proposal.decision, proposal.load_step) == (Decision.STAY, LoadStep.KEEP)
    assert str(proposal.reasons[-1]) == "No increases this week."


def test_todays_session_waits_for_tomorrows_morning():
    today = diary_day(0, next_morning_pain=None, night_wakings=None)
    assert propose(arm(diary=(*diary(), today))).decision is Decision.MOVE_UP


def test_todays_session_counts_when_it_was_too_much():
    today = diary_day(0, worst_pain=8, next_morning_pain=None, night_wakings=None)
    assert propose(arm(diary=(*diary(), today))).load_step is LoadStep.REDUCE


@pytest.mark.parametrize(("rest_days", "decision"), [(4, "move up"), (5, "stay")])
def test_seventy_percent_of_the_sessions_are_enough(rest_days, decision):
    days = diary(last={n: REST for n in range(4, 4 + rest_days)})
    assert propose(arm(diary=days)).decision == decision


def test_too_little_done_does_not_hide_a_session_that_was_too_much():
    days = diary(last={n: REST for n in range(3, 14)} | RED)
    assert propose(arm(diary=days)).load_step is LoadStep.REDUCE


def test_too_little_done_is_coached_before_the_plan_is_reviewed():
    days = diary(last={n: REST for n in range(3, 14)})
    ready = arm(diary=days, weeks_in_care=6, prtee_today=44.0, worst_pain_today=6)
    assert [message.kind for message in propose(ready).messages] == ["talk about the exercises"]


def test_two_flares_lead_back_to_holds():
    days = diary(last={3: {"night_wakings": 1}, 12: {"night_wakings": 1}})
    words = [str(message.words) for message in propose(arm(diary=days)).messages]
    assert words[0] == "2 flares in 14 days: go to holds below the pain threshold."


def test_nothing_measured_is_asked_for_at_six_weeks():
    ready = arm(weeks_in_care=6, prtee_today=None, worst_pain_today=None)
    assert [message.kind for message in propose(ready).messages] == ["measure"]


def test_a_clinic_may_ask_for_more_time():
    limits = in_force({"stage_2_days": 35})
    assert propose(arm(), limits=limits).decision is Decision.STAY


@pytest.mark.parametrize("stage", Stage)
def test_a_proposal_is_kept_as_it_stood(stage):
    proposal = propose(READY[stage](grip_ratio=0.5), limits=in_force({"stage_2_days": 35}))
    assert Proposal.from_json(json.loads(json.dumps(proposal.as_json()))) == proposal


def test_a_stopped_proposal_is_kept_as_it_stood():
    proposal = propose(arm(red_flags=(say("Fever."),)))
    assert Proposal.from_json(json.loads(json.dumps(proposal.as_json()))) == proposal


def test_what_is_open_is_told_apart_from_what_is_unknown():
    proposal = propose(slow_arm(grip_ratio=None, prtee_today=44.0))
    stage = [row for row in proposal.criteria if row.about == "stage"]
    open_rows = [str(row.words) for row in stage if row.held is False]
    assert open_rows == ["PRTEE clearly better"]
    assert [str(row.words) for row in proposal.unknown] == ["Grip ratio"]


@pytest.mark.parametrize("changes", [{"age": -1}, {"diary": (diary_day(-1),)}])
def test_an_impossible_arm_is_an_error(changes):
    with pytest.raises(ValueError, match=r"below 0|after today"):
        arm(**changes)
