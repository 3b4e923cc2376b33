"""The interval program has no gap, and each return plan its own steps."""

import pytest

from rehab.clinical.lifting import lifting_steps
from rehab.clinical.returning import INTERVAL_STEPS, return_steps


def test_the_steps_are_numbered_without_a_gap():
    assert [row.number for row in INTERVAL_STEPS] == list(range(1, 22))


def test_only_the_last_step_is_a_match():
    assert [row.number for row in INTERVAL_STEPS if row.simulated_match] == [21]


def test_a_return_plan_has_its_own_steps():
    assert return_steps("racket") == INTERVAL_STEPS
    assert return_steps("lifting", job_kg=20) == lifting_steps(20)
    assert return_steps("") == ()


def test_lifting_without_a_job_and_an_unknown_plan_are_errors():
    with pytest.raises(ValueError, match="load of the job"):
        return_steps("lifting")
    with pytest.raises(ValueError, match="called swimming"):
        return_steps("swimming")
