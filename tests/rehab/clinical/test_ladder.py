"""The ladder's table is complete, and people enter it where their elbow lets them."""

import pytest

from rehab.clinical.ladder import (
    STAGES,
    EntryFindings,
    Irritability,
    Policy,
    Stage,
    enter,
    stage_doses,
    stage_row,
)
from rehab.clinical.thresholds import DEFAULTS, in_force


def test_every_stage_has_one_row():
    assert [row.stage for row in STAGES] == list(Stage)


def test_every_stage_has_a_least_time_in_the_table():
    assert [DEFAULTS[row.least_days].value for row in STAGES] == [7, 21, 21, 28, 21]


def test_every_stage_has_a_label():
    assert [str(stage.label) for stage in Stage] == [
        "isometric",
        "light isotonic",
        "slow resistance",
        "heavy and fast",
        "return to activity",
    ]


def test_the_ladder_has_two_ends():
    assert (Stage.ISOMETRIC.below, Stage.RETURN_TO_ACTIVITY.above) == (None, None)


@pytest.mark.parametrize(
    ("policy", "green", "red"), [(Policy.STRICT, 2, 3), (Policy.STANDARD, 3, 6)]
)
def test_a_policy_has_its_two_limits(policy, green, red):
    limits = policy.pain_limits()
    assert (limits.green_ceiling.value, limits.red_floor.value) == (green, red)


def test_a_policy_reads_the_clinics_own_limit():
    limits = in_force({"standard_green_ceiling": 2})
    assert Policy.STANDARD.pain_limits(limits).green_ceiling.value == 2


@pytest.mark.parametrize("row", STAGES, ids=lambda row: row.stage.name)
def test_every_main_exercise_has_a_dose_in_its_stage(row):
    assert all(stage_doses(row.stage, code) for code in row.main)


@pytest.mark.parametrize(
    ("stage", "code", "sex", "headlines"),
    [
        (1, "wrist-hold", None, ["5 × 30 s"]),
        (2, "lift-and-lower", "female", ["3 × 15, 1 kg"]),
        (2, "lift-and-lower", "male", ["3 × 15, 2 kg"]),
        (2, "lower-slowly", None, ["3 × 15"]),
        (3, "straight-arm-lift", "male", ["3 × 15", "3 × 12"]),
        (4, "straight-arm-lift", None, ["4 × 10", "4 × 8", "4 × 6"]),
        (4, "turn-palm", None, ["4 × 10", "4 × 8", "4 × 6"]),
        (5, "shadow-swing", None, ["2 × 10"]),
    ],
)
def test_a_stage_doses_its_exercises(stage, code, sex, headlines):
    doses = stage_doses(Stage(stage), code, sex=sex)
    assert [str(dose.headline()) for dose in doses] == headlines


def test_the_twist_bar_follows_the_three_days_a_week_of_stage_three():
    assert [stage_doses(Stage(n), "twist-bar")[0].days_per_week for n in (2, 3)] == [7, 3]


def test_an_exercise_of_another_stage_has_no_dose():
    with pytest.raises(ValueError, match="does not belong to stage 1"):
        stage_doses(Stage.ISOMETRIC, "ball-pass")


def test_a_stage_that_does_not_exist_is_an_error():
    with pytest.raises(ValueError, match="6"):
        stage_row(6)


def findings(**changes) -> EntryFindings:
    """A barely irritable elbow, but for `changes`."""
    quiet = {
        "age": 40, "rest_pain": 0, "worst_pain": 3, "night_wakings_a_week": 0,
        "lasts_over_24_h": False, "prtee": 19,
    }  # fmt: skip
    return EntryFindings(**(quiet | changes))


@pytest.mark.parametrize(
    ("changes", "level", "stage", "policy"),
    [
        ({}, "low", 2, "standard"),
        ({"worst_pain": 4}, "moderate", 1, "strict"),
        ({"rest_pain": 4}, "moderate", 1, "strict"),
        ({"night_wakings_a_week": 1}, "moderate", 1, "strict"),
        ({"night_wakings_a_week": 2}, "moderate", 1, "strict"),
        ({"prtee": 20}, "moderate", 1, "strict"),
        ({"prtee": 54}, "moderate", 1, "strict"),
        ({"prtee": 55}, "high", 1, "strict"),
        ({"worst_pain": 6}, "moderate", 1, "strict"),
        ({"worst_pain": 7}, "high", 1, "strict"),
        ({"rest_pain": 7}, "high", 1, "strict"),
        ({"night_wakings_a_week": 3}, "high", 1, "strict"),
        ({"lasts_over_24_h": True}, "high", 1, "strict"),
    ],
)
def test_one_finding_is_enough_for_a_class(changes, level, stage, policy):
    entry = enter(findings(**changes))
    assert (entry.irritability, entry.start_stage) == (level, stage)
    assert entry.policy == policy


def test_the_highest_class_wins_and_gives_its_reasons():
    entry = enter(findings(worst_pain=5, night_wakings_a_week=3, prtee=30))
    assert [str(reason) for reason in entry.reasons] == ["Woken 3 times a week (high from 3)."]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("rest_pain", "Pain at rest is missing."),
        ("worst_pain", "Worst pain is missing."),
        ("night_wakings_a_week", "Night wakings a week are missing."),
        ("lasts_over_24_h", "Whether pain lasts over 24 hours is missing."),
    ],
)
def test_a_missing_value_is_named_and_not_guessed(name, words):
    entry = enter(findings(**{name: None}))
    assert (entry.irritability, entry.start_stage, entry.policy) == (None, None, None)
    assert [str(missing) for missing in entry.missing] == [words]


def test_while_values_are_missing_nothing_is_said_to_be_quiet():
    entry = enter(findings(rest_pain=None, worst_pain=None))

    assert [str(reason) for reason in entry.reasons] == [
        "The irritability can't be told yet: values are missing."
    ]


def test_a_missing_questionnaire_is_named_but_does_not_hold_up_the_start():
    entry = enter(findings(prtee=None))
    assert (entry.irritability, entry.start_stage) == (Irritability.LOW, Stage.LIGHT_ISOTONIC)
    assert [str(words) for words in entry.missing] == [
        "PRTEE is missing; it might make the class higher."
    ]


def test_what_is_known_to_be_high_needs_nothing_more():
    entry = enter(findings(worst_pain=8, rest_pain=None))
    assert entry.irritability is Irritability.HIGH


@pytest.mark.parametrize(("age", "blocked"), [(17, True), (18, False)])
def test_under_eighteen_the_ladder_is_not_offered(age, blocked):
    assert enter(findings(age=age)).blocked is blocked


@pytest.mark.parametrize(("age", "stage"), [(65, 2), (66, 1)])
def test_over_sixty_five_starts_one_stage_lower(age, stage):
    assert enter(findings(age=age)).start_stage == stage


@pytest.mark.parametrize(
    "changes", [{"worst_pain": 11}, {"rest_pain": -1}, {"prtee": 101}, {"age": -1}]
)
def test_a_value_off_its_scale_is_an_error(changes):
    with pytest.raises(ValueError, match=r"not in|below 0"):
        findings(**changes)
