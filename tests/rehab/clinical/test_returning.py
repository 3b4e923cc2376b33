"""The interval program has no gap and its totals add up."""

import pytest

from rehab.clinical.lifting import lifting_steps
from rehab.clinical.returning import INTERVAL_STEPS, interval_step, return_steps, totals_agree


def test_every_total_is_the_sum_of_its_row():
    assert totals_agree() is True


def test_the_steps_are_numbered_without_a_gap():
    assert [row.number for row in INTERVAL_STEPS] == list(range(1, 22))


def test_only_the_last_step_is_a_match():
    assert [row.number for row in INTERVAL_STEPS if row.simulated_match] == [21]


def test_only_second_serves_are_hit_in_the_first_phase():
    assert [row.number for row in INTERVAL_STEPS if row.second_serves_only] == [2, 3, 4, 5]


# Myers 2016, table 2.
@pytest.mark.parametrize(
    ("number", "strokes", "percent", "serves", "total", "games"),
    [(1, 10, 50, 0, 10, None), (12, 42, 80, 24, 66, 6), (20, 224, 100, 128, 352, 16)],
)
def test_a_step_is_found_by_its_number(number, strokes, percent, serves, total, games):
    row = interval_step(number)
    assert (row.ground_strokes, row.stroke_percent, row.serves) == (strokes, percent, serves)
    assert (row.total, row.games) == (total, games)


@pytest.mark.parametrize("number", [0, 22])
def test_a_step_outside_the_program_is_an_error(number):
    with pytest.raises(ValueError, match="1 to 21"):
        interval_step(number)


def test_a_return_plan_has_its_own_steps():
    assert return_steps("racket") == INTERVAL_STEPS
    assert return_steps("lifting", job_kg=20) == lifting_steps(20)
    assert return_steps("") == ()


def test_lifting_without_a_job_and_an_unknown_plan_are_errors():
    with pytest.raises(ValueError, match="load of the job"):
        return_steps("lifting")
    with pytest.raises(ValueError, match="called swimming"):
        return_steps("swimming")
