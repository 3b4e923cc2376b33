"""Graded lifting begins light, grows by a tenth a week and goes through the grips in their order."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.evidence import Figure, Status
from rehab.clinical.lifting import (
    BASE_WEIGHTS,
    JOBS,
    RATE_CUTS,
    TWIST_CUTS,
    WEEKLY_STEP,
    Grip,
    Strength,
    guideline_kg,
    job_strength,
    lifting_steps,
)


def test_every_class_of_jobs_has_one_row_in_order():
    assert [job.strength for job in JOBS] == list(Strength)


# US Dictionary of Occupational Titles: occasional, frequent, constant, kg.
@pytest.mark.parametrize(
    ("strength", "row"),
    [
        ("sedentary", (4.5, None, None)),
        ("light", (9.1, 4.5, None)),
        ("medium", (22.7, 11.3, 4.5)),
        ("heavy", (45.4, 22.7, 9.1)),
        ("very heavy", (None, None, None)),
    ],
)
def test_the_classes_are_as_printed(strength, row):
    job = next(job for job in JOBS if job.strength == strength)

    assert (job.occasional_kg, job.frequent_kg, job.constant_kg) == row


@pytest.mark.parametrize(
    ("heaviest_kg", "strength"),
    [
        (4.5, "sedentary"), (4.6, "light"), (9.1, "light"), (9.2, "medium"), (22.7, "medium"),
        (22.8, "heavy"), (45.4, "heavy"), (45.5, "very heavy"), (100, "very heavy"),
    ],
)  # fmt: skip
def test_a_job_is_classed_by_its_heaviest_lift(heaviest_kg, strength):
    assert job_strength(heaviest_kg).strength == strength


# HSE, manual handling: 25 kg at 5–8 lifts a minute, 16 kg at more than 12.
@pytest.mark.parametrize(
    ("sex", "cut", "kg"), [("male", RATE_CUTS[1], 12.5), ("female", RATE_CUTS[2], 3.2)]
)
def test_a_guideline_weight_is_cut_by_the_rate_of_lifts(sex, cut, kg):
    assert guideline_kg(BASE_WEIGHTS[sex].value, cut) == kg


def test_the_cuts_are_as_printed_and_the_base_weights_only_remembered():
    assert [cut.value for cut in (*TWIST_CUTS, *RATE_CUTS)] == [10, 20, 30, 50, 80]
    assert {cut.status for cut in (*TWIST_CUTS, *RATE_CUTS)} == {Status.SECOND_HAND}
    assert {base.status for base in BASE_WEIGHTS.values()} == {Status.FROM_MEMORY}


@pytest.mark.parametrize(("base_kg", "percent"), [(0, 10), (-1, 10), (25, -1), (25, 101)])
def test_a_guideline_weight_of_nonsense_is_an_error(base_kg, percent):
    cut = Figure(value=percent, unit="%", source="none", status=Status.CONVENTION)

    with pytest.raises(ValueError, match="above 0 kg"):
        guideline_kg(base_kg, cut)


def test_a_job_of_twenty_kg_is_reached_in_ten_weeks_grip_by_grip():
    assert [(step.number, step.percent, step.load_kg, step.grip) for step in lifting_steps(20)] == [
        (1, 10, 2.0, Grip.PALM_UP),
        (2, 20, 4.0, Grip.PALM_UP),
        (3, 30, 6.0, Grip.PALM_IN),
        (4, 40, 8.0, Grip.PALM_IN),
        (5, 50, 10.0, Grip.PALM_DOWN),
        (6, 60, 12.0, Grip.PALM_DOWN),
        (7, 70, 14.0, Grip.ONE_HAND),
        (8, 80, 16.0, Grip.ONE_HAND),
        (9, 90, 18.0, Grip.STRAIGHT),
        (10, 100, 20.0, Grip.STRAIGHT),
    ]


def test_a_start_at_a_quarter_ends_at_the_whole_load_too():
    percents = [step.percent for step in lifting_steps(9.1, start_percent=25)]

    assert percents == [25, 35, 45, 55, 65, 75, 85, 95, 100]


@given(job_kg=st.floats(1, 100), start=st.integers(10, 25))
def test_every_plan_climbs_by_no_more_than_a_tenth_and_never_over_the_job(job_kg, start):
    steps = lifting_steps(job_kg, start_percent=start)
    gains = [b.percent - a.percent for a, b in itertools.pairwise(steps)]
    grips = [list(Grip).index(step.grip) for step in steps]

    assert max(gains) <= WEEKLY_STEP.value
    assert all(step.load_kg <= job_kg * step.percent / 100 + 1e-6 for step in steps)
    assert (grips, set(grips)) == (sorted(grips), set(range(len(Grip))))
    assert len(steps) <= 21


@pytest.mark.parametrize("job_kg", [0, -5, 100.1, float("nan"), float("inf"), 0.5])
def test_a_load_that_no_job_has_is_an_error(job_kg):
    with pytest.raises(ValueError, match="kg is"):
        lifting_steps(job_kg)


@pytest.mark.parametrize("start", [9, 26, 0, 100])
def test_a_start_outside_of_ten_to_twenty_five_percent_is_an_error(start):
    with pytest.raises(ValueError, match="10 to 25"):
        lifting_steps(20, start_percent=start)
