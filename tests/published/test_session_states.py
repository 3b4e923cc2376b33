"""Session states and weekly trend against the printed test cases.

Limits: strict 2/3 from the Karanasios trial register and a 2024 shoulder trial (Trials 25:135);
standard 3 from summaries and NHS providers; 6 after Holmgren 2012, BMJ 344:e787. The rise of the
morning pain and the weekly trend are convention, anchored on an MDC90 of 1.4 points (2025, n=143).
"""

from datetime import date, timedelta

import pytest

from rehab.clinical.ladder import Policy
from rehab.clinical.sessions import DiaryDay, adherence, session_state, week

TODAY = date(2026, 3, 12)


def state(policy, worst_pain, rise, **more):
    day = DiaryDay(
        on=TODAY,
        sets_done=3,
        worst_pain=worst_pain,
        next_morning_pain=1 + rise,
        **({"night_wakings": 0} | more),
    )
    return session_state(day, baseline=1.0, policy=policy, usual_night_wakings=0).state


# Convention: the whole table of the standard policy, and cases 3, 4, 5 and 7.
@pytest.mark.parametrize(
    ("worst_pain", "rise", "expected"),
    [
        (0, 0, "settled"), (3, 0, "settled"), (3, -1, "settled"),
        (4, 0, "watch"), (5, 0, "watch"), (2, 1, "watch"), (5, 1, "watch"),
        (6, 0, "too much"), (10, 0, "too much"), (2, 2, "too much"), (0, 3, "too much"),
    ],
)  # fmt: skip
def test_standard_policy(worst_pain, rise, expected):
    assert state(Policy.STANDARD, worst_pain, rise) == expected


# Case 8: published limits for the elbow (Karanasios register).
@pytest.mark.parametrize(
    ("worst_pain", "rise", "expected"),
    [(2, 0, "settled"), (3, 0, "too much"), (2, 1, "watch"), (2, 2, "too much")],
)
def test_strict_policy(worst_pain, rise, expected):
    assert state(Policy.STRICT, worst_pain, rise) == expected


# Convention: new night waking, sharp pain or locking is too much whatever the pain.
@pytest.mark.parametrize("sign", [{"night_wakings": 1}, {"sharp_or_locking": True}])
def test_one_sign_is_too_much_on_its_own(sign):
    assert state(Policy.STANDARD, 0, 0, **sign) == "too much"


# Case 14 and the week rows: convention.
@pytest.mark.parametrize(
    ("before", "now", "expected"),
    [
        (2, (2,) * 7, "steady"),
        (2, (3, 3, 3, 3, 3, 3, 2), "steady"),
        (2, (3,) * 7, "no increases this week"),
        (2, (4, 4, 4, 4, 4, 4, 3), "no increases this week"),
        (2, (4,) * 7, "less load this week"),
    ],
)
def test_weekly_mean(before, now, expected):
    mornings = (before,) * 7 + now
    days = tuple(
        DiaryDay(on=TODAY - timedelta(days=14 - n), sets_done=0, next_morning_pain=pain)
        for n, pain in enumerate(mornings)
    )
    assert week(days, today=TODAY).state == expected


# The 70 % is convention, near the 71 % of Vuvan 2020 (40 of 56 sessions is 71.4 %, computed).
@pytest.mark.parametrize(("done", "share"), [(14, 1.0), (10, 10 / 14), (0, 0.0)])
def test_adherence_over_two_weeks(done, share):
    days = tuple(DiaryDay(on=TODAY - timedelta(days=n), sets_done=3) for n in range(1, done + 1))
    assert adherence(days, asked_per_week=7, today=TODAY).share == pytest.approx(share)
