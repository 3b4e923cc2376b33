"""Days of the week, and how long they take."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.evidence import Status
from rehab.clinical import week_plan as plan
from rehab.clinical.dose import Dose
from rehab.clinical.stages import Stage

ALL = range(7)


@pytest.mark.parametrize(
    ("weekdays", "count", "days"),
    [
        (ALL, 3, (0, 2, 4)),
        (ALL, 4, None),
        ((0, 1, 2), 2, (0, 2)),
        ((0, 6), 2, None),
        ((0, 1, 3, 4, 6), 3, (1, 3, 6)),
        ((5, 6), 2, None),
        ((2,), 1, (2,)),
    ],
)
def test_heavy_days_have_48_hours_between_them(weekdays, count, days):
    # NCT06774547.
    assert plan.days_for(weekdays, count, heavy=True) == days


@pytest.mark.parametrize(
    ("weekdays", "count", "days"),
    [(ALL, 7, (0, 1, 2, 3, 4, 5, 6)), ((0, 1), 2, (0, 1)), ((0, 1), 3, None), (ALL, 2, (0, 3))],
)
def test_light_days_are_spread_as_the_week_allows(weekdays, count, days):
    assert plan.days_for(weekdays, count) == days


@given(weekdays=st.sets(st.integers(0, 6)), count=st.integers(1, 7))
def test_no_heavy_day_follows_another(weekdays, count):
    days = plan.days_for(weekdays, count, heavy=True) or ()
    assert [day for day in days if (day + 1) % 7 in days and count > 1] == []


@pytest.mark.parametrize(("weekdays", "count"), [((7,), 1), ((-1,), 1), (ALL, 0)])
def test_a_week_has_seven_days(weekdays, count):
    with pytest.raises(ValueError, match="0 to 6"):
        plan.days_for(weekdays, count)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        ((2,), "Wednesday"),
        ((4, 0), "Monday and Friday"),
        ((0, 2, 4), "Monday, Wednesday and Friday"),
        ((6, 1, 3, 5), "Tuesday, Thursday, Saturday and Sunday"),
    ],
)
def test_days_are_said_in_their_order(days, words):
    assert str(plan.days_said(days)) == words


def test_no_day_can_not_be_said():
    with pytest.raises(ValueError, match="at least one"):
        plan.days_said(())


@pytest.mark.parametrize(
    ("dose", "seconds"),
    [
        (Dose(sets=3, repetitions=15, up_s=3, down_s=3, rest_s=120), 630),
        (Dose(sets=5, hold_s=45, rest_s=60), 525),
        (Dose(sets=3, repetitions=10, hold_s=5, rest_s=30), 240),
        (Dose(sets=3, repetitions=10, rest_s=30), 210),
        (Dose(sets=3, repetitions=10), 300),
        (Dose(sets=2, hold_s=30), 180),
    ],
)
def test_a_session_is_sets_times_work_and_rest(dose, seconds):
    assert plan.session_s(dose) == seconds


def test_what_stands_in_for_tempo_and_rest_says_where_it_is_from():
    assert (plan.REPETITION.status, plan.REST.status) == (Status.PUBLISHED, Status.FROM_MEMORY)
    assert (plan.HEAVY_APART.value, plan.HEAVY_APART.status) == (48, Status.SECOND_HAND)


LIGHT = Dose(sets=2, hold_s=30, rest_s=30)
BAND = Dose(sets=3, repetitions=15, up_s=3, down_s=3, rest_s=110, days_per_week=3)


def test_heavy_work_falls_on_the_same_days():
    twice = Dose(sets=3, repetitions=15, up_s=3, down_s=3, rest_s=110, days_per_week=2)
    week = plan.week_plan(
        [("straight-arm-lift", BAND), ("turn-palm", twice), ("open-hand", LIGHT)],
        ALL,
        stage=Stage.SLOW_RESISTANCE,
    )
    assert [row.days for row in week.rows] == [(0, 2, 4), (0, 4), tuple(ALL)]
    assert (week.heavy, [week.minutes_on(day) for day in (0, 2, 5)]) == ((0, 2, 4), [22, 12, 2])
    assert week.longest == 22


def test_the_same_exercise_is_not_heavy_in_another_stage():
    days = {
        stage: plan.week_plan([("turn-palm", BAND)], (0, 1, 2), stage=stage).rows[0].days
        for stage in Stage
    }
    assert [days[stage] for stage in Stage] == [(0, 1, 2), (0, 1, 2), None, None, (0, 1, 2)]


def test_a_week_without_exercises_takes_no_time():
    assert plan.week_plan([], ALL, stage=Stage.ISOMETRIC).longest == 0
