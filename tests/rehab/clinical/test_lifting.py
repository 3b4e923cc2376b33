"""Graded lifting begins light, grows by a tenth a week and goes through the grips in their order."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rehab.clinical.lifting import WEEKLY_STEP, Grip, lifting_steps


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


@given(job_kg=st.floats(1, 100))
def test_every_plan_climbs_by_no_more_than_a_tenth_and_never_over_the_job(job_kg):
    steps = lifting_steps(job_kg)
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
