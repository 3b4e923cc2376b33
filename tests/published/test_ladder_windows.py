"""How many days, bands and steps the ladder looks back or goes on by, at the edge of each.

Common practice without a source, but for the repetition maximum of light work: 8 in place of 6.
"""

import pytest

from rehab.clinical.arm import course
from rehab.clinical.criteria_diary import final_band, quiet_nights
from rehab.clinical.load_change import clearly_less, more
from rehab.clinical.progression import propose
from rehab.clinical.sessions import adherence, flare_advice, flares
from rehab.clinical.thresholds import DEFAULTS
from tests.rehab.clinical.arms import (
    REST,
    TODAY,
    arm,
    diary,
    heavy_arm,
    holding_arm,
    returning_arm,
    slow_arm,
)

from .printed import numbers

WOKEN = {"night_wakings": 1}


@pytest.mark.parametrize(("ago", "quiet"), [(7, False), (8, True)])
def test_nights_are_counted_over_seven_days(ago, quiet):
    here = arm(diary=diary(last={1: WOKEN, ago: WOKEN}))

    assert quiet_nights(here, course(here, DEFAULTS), DEFAULTS).held is quiet


@pytest.mark.parametrize(
    ("here", "band"),
    [(slow_arm(), 12), (heavy_arm(), 6), (heavy_arm(job_is_light=True), 8), (arm(), None)],
)
def test_a_stage_ends_at_its_last_band(here, band):
    assert final_band(here) == band


@pytest.mark.parametrize("since_step", [None, 20])
@pytest.mark.parametrize(("ago", "load_step"), [(7, "reduce"), (8, "keep")])
def test_a_session_that_was_too_much_is_answered_for_seven_days(ago, load_step, since_step):
    days = diary(last={ago: {"worst_pain": 6}})
    here = arm(diary=days, days_since_load_step=since_step)

    assert propose(here).load_step == load_step


@pytest.mark.parametrize(
    ("done", "forward", "back"), [(9, 10, 8), (2, 3, 1), (1, 2, 1), (20, 21, 19)]
)
def test_the_return_goes_one_step_on_and_one_step_back(done, forward, back):
    here = returning_arm(return_steps_done=done)
    on, on_words = more(here, DEFAULTS)
    off, off_words = clearly_less(here, course(here, DEFAULTS), DEFAULTS)

    assert (on["next_return_step"], off["next_return_step"]) == (forward, back)
    assert (numbers(*map(str, on_words)), numbers(*map(str, off_words))) == ((forward,), (back,))


@pytest.mark.parametrize(("ago", "count"), [(14, 1), (15, 0)])
def test_a_flare_is_looked_for_over_fourteen_days(ago, count):
    days = diary(last={ago: WOKEN})

    assert len(flares(days, usual_night_wakings=0, today=TODAY)) == count


def test_what_is_done_about_a_flare_shows_the_common_numbers():
    # 24–48 hours without what set it off; two flares in 14 days go back to holds.
    assert numbers(str(flare_advice(1)[0])) == (24, 48)
    assert numbers(str(flare_advice(2)[0])) == (2, 14)


def test_adherence_is_counted_over_two_weeks():
    found = adherence(diary(), asked_per_week=7, today=TODAY)

    assert (found.done, found.asked) == (14, 14)


@pytest.mark.parametrize(("weeks", "days", "asked"), [(1, 3, 7), (0, 3, 3), (5, 3, 14)])
def test_a_young_program_is_asked_for_no_more_than_its_days(weeks, days, asked):
    here = holding_arm(weeks_in_care=weeks, days_in_stage=days)

    assert course(here, DEFAULTS).adherence.asked == asked


def test_low_adherence_is_said_in_percent():
    # 6 of 10 sessions; enough is 70 %, common practice near the 71 % of Vuvan 2020.
    here = arm(diary=diary(10, {n: REST for n in (4, 6, 8, 10)}), sessions_asked_per_week=5)

    assert numbers(str(propose(here).reasons[0])) == (6, 10, 60)


def test_less_load_is_said_in_the_common_numbers():
    # 10 × 15 s after 24–48 hours of rest from holds; 10–20 % where no load is known.
    holds, open_load = holding_arm(), arm(load_kg=None)
    words = [
        clearly_less(here, course(here, DEFAULTS), DEFAULTS)[1][-1] for here in (holds, open_load)
    ]

    assert [numbers(str(one)) for one in words] == [(24, 48, 10, 15), (10, 20)]
