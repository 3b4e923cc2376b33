"""What the rules think of a dose: a base that they agree with, spoiled one thing at a time."""

from dataclasses import replace

import pytest

from rehab.clinical.dose import Dose
from rehab.clinical.owned import Owned
from rehab.clinical.proposal import LoadStep
from rehab.clinical.second_look import look_at_program, second_look, step_not_taken
from rehab.clinical.stages import Stage
from rehab.clinical.thresholds import in_force
from rehab.clinical.work import change_percent, work_of

BEFORE = Dose(sets=3, repetitions=15, load_kg=1.0, down_s=4)
HOLD = Dose(sets=5, hold_s=30)


def thoughts(dose, before=BEFORE, card="lift-and-lower", stage=Stage.LIGHT_ISOTONIC, **more):
    found = second_look(card, dose, before, stage=stage, **more)
    return [(one.field, str(one.words)) for one in found]


@pytest.mark.parametrize(
    "dose",
    [
        BEFORE,
        replace(BEFORE, load_kg=1.1),
        replace(BEFORE, load_kg=0.2),
        replace(BEFORE, load_kg=None),
        replace(BEFORE, repetitions=17),
        replace(BEFORE, down_s=29),
    ],
)
def test_a_dose_within_the_rules_is_passed_over(dose):
    assert thoughts(dose) == []


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"load_kg": 1.2}, "load_kg",
         "From 1 to 1.2 kg is 20 % more: the rules add 10 % at most, or 0.1 kg."),
        ({"load_kg": 1.5}, "load_kg",
         "From 1 to 1.5 kg is 50 % more: the rules add 10 % at most, or 0.1 kg."),
        ({"repetitions": 18}, "repetitions", "The rules add one or two repetitions at a time."),
        ({"repetitions": 21}, "repetitions", "The rules go up to 20 repetitions."),
        ({"down_s": 30}, "down_s",
         "22.5 minutes of work in a session, without the rests: ask whether that can be done."),
    ],
)  # fmt: skip
def test_a_dose_beyond_the_rules_is_said_at_its_field(change, field, words):
    assert thoughts(replace(BEFORE, **change)) == [(field, words)]


def test_from_no_weight_the_first_is_the_smallest():
    found = thoughts(replace(BEFORE, load_kg=0.5), replace(BEFORE, load_kg=0))
    words = "From no weight to 0.5 kg: the rules add 0.1 kg at most."
    assert found == [("load_kg", words)]


@pytest.mark.parametrize(("hold_s", "said"), [(35, []), (36, ["The rules add 5 s at a time."])])
def test_a_hold_grows_by_its_step(hold_s, said):
    found = thoughts(replace(HOLD, hold_s=hold_s), HOLD, "wrist-hold", Stage.ISOMETRIC)
    assert [words for _field, words in found] == said


def test_a_new_exercise_has_nothing_to_be_compared_with():
    assert thoughts(replace(BEFORE, load_kg=40), None) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"repetitions": 12}, []),
        ({"repetitions": 13},
         [("repetitions", "This stage works at 15, 12 repetitions maximum.")]),
        ({"repetitions": 12, "sessions_per_day": 2},
         [("days_per_week", "Heavy work is done once a day, with 48 hours to the next.")]),
    ],
)  # fmt: skip
def test_heavy_work_keeps_to_its_bands(change, said):
    dose = replace(BEFORE, **change)
    assert thoughts(dose, None, "straight-arm-lift", Stage.SLOW_RESISTANCE) == said


def test_what_the_patient_lacks_is_said():
    found = thoughts(BEFORE, None, "turn-palm", owned=Owned(bottle=True))
    words = "It needs a hammer or another offset weight, and the patient owns none."
    assert found == [("sets", words)]


def test_a_clinics_own_limits_count():
    limits = in_force({"load_step_most": 5})
    assert (
        len(thoughts(replace(BEFORE, load_kg=2.2), replace(BEFORE, load_kg=2), limits=limits)) == 1
    )


@pytest.mark.parametrize(
    ("stage", "before", "said"),
    [
        (3, 2, []),
        (3, None, []),
        (2, 4, []),
        (3, 1, ["Stage 2 is skipped: the rules go one at a time."]),
        (5, 2, ["Stages 3 to 4 are skipped: the rules go one at a time."]),
    ],
)
def test_a_stage_that_is_skipped_is_said(stage, before, said):
    found = look_at_program(Stage(stage), Stage(before) if before else None, ())
    assert [str(words) for words in found] == said


@pytest.mark.parametrize(
    ("now", "count"),
    [
        ({"load_kg": 1.1}, 0),
        ({"load_kg": 1.1, "repetitions": 17}, 2),
        ({"load_kg": 1.1, "repetitions": 12}, 0),
        ({"load_kg": 1.1, "repetitions": 17, "sets": 4}, 3),
    ],
)
def test_one_thing_is_raised_at_a_time(now, count):
    pairs = ((replace(BEFORE, **now), BEFORE), (HOLD, None))
    said = [str(w) for w in look_at_program(Stage(2), Stage(2), pairs)]
    words = f"{count} things are raised at once: the rules change one."
    assert said == ([words] if count else [])


def test_the_most_repetitions_hold_for_a_new_exercise_too():
    found = thoughts(replace(BEFORE, repetitions=21), None)

    assert found == [("repetitions", "The rules go up to 20 repetitions.")]


@pytest.mark.parametrize(
    ("dose", "expected"),
    [
        (replace(BEFORE, days_per_week=3), (45, 135, 180, 540)),
        (replace(BEFORE, days_per_week=3, sessions_per_day=2), (45, 270, 180, 1080)),
        (HOLD, (None, None, 150, 1050)),
    ],
)
def test_a_weeks_work_is_a_sessions_times_how_often(dose, expected):
    work = work_of(dose)
    assert (work.session_kg, work.week_kg, work.session_s, work.week_s) == expected


@pytest.mark.parametrize(
    ("now", "before", "change"), [(110, 100, 10), (90, 100, -10), (5, 0, None), (None, 5, None)]
)
def test_the_change_of_a_weeks_work(now, before, change):
    assert change_percent(now, before) == change


LOWER = ({"load_kg": 0.9}, {"repetitions": 12}, {"sets": 2})
HIGHER = ({"load_kg": 1.1}, {"repetitions": 16}, {"sets": 4})


@pytest.mark.parametrize("change", [{}, *HIGHER])
def test_a_load_that_was_to_be_less_and_is_not_is_said(change):
    words = str(step_not_taken(LoadStep.REDUCE, replace(BEFORE, **change), BEFORE))
    assert (
        words == "It was decided to reduce the load, and the dose is no lower than before: set it."
    )


@pytest.mark.parametrize("change", [{}, *LOWER])
def test_a_load_that_was_to_be_more_and_is_not_is_said(change):
    words = str(step_not_taken(LoadStep.ADD, replace(BEFORE, **change), BEFORE))
    assert words == "It was decided to add load, and the dose is no higher than before: set it."


@pytest.mark.parametrize(
    ("step", "change"),
    [
        *((LoadStep.REDUCE, change) for change in LOWER),
        *((LoadStep.ADD, change) for change in HIGHER),
        *((LoadStep.KEEP, change) for change in ({}, *LOWER, *HIGHER)),
    ],
)
def test_a_load_step_that_was_taken_is_passed_over(step, change):
    assert step_not_taken(step, replace(BEFORE, **change), BEFORE) is None
