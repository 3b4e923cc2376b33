import math

import pytest

from assessments.clinical.activities import (
    ONE_ACTIVITY_ERROR,
    UPPER_LIMB_ERROR,
    activities_change,
    change_of_the_same,
    mean_rating,
    one_activity_change,
)
from clinic.evidence import Status

FIRST = {"lift a pan": 2, "tune the cello": 4, "saw": 3}


def test_one_activity_more_by_two_points_is_within_the_error():
    assert activities_change(FIRST, FIRST | {"saw": 5}).beyond_error is False


def test_other_activities_are_not_compared():
    with pytest.raises(ValueError, match="only the same activities"):
        activities_change(FIRST, {"lift a pan": 5})


@pytest.mark.parametrize("ratings", [(), (1,) * 6, (11,), (-1,), (2.5,), (True,)])
def test_impossible_ratings_are_refused(ratings):
    with pytest.raises(ValueError, match="not"):
        mean_rating(ratings)


def test_only_what_was_rated_on_both_dates_is_compared_and_it_says_so():
    change = change_of_the_same(FIRST, {"lift a pan": 5, "saw": 4, "plane a board": 9})

    assert (change.before, change.after, change.amount) == (2.5, 4.5, 2.0)
    assert str(change.over) == "over the 2 rated on both dates: 2.5, then 4.5"


def test_the_same_activities_need_no_such_words():
    assert change_of_the_same(FIRST, FIRST).over is None


def test_other_activities_alone_leave_nothing_to_compare():
    assert change_of_the_same(FIRST, {"plane a board": 9}) is None


@pytest.mark.parametrize(("after", "beyond"), [(4, False), (5, True)])
def test_one_activity_is_judged_by_the_error_of_one(after, beyond):
    # Stratford 1995 Physiother Can 47:258–63: 3 points for a single activity.
    alone = one_activity_change(2, after)

    assert (alone.error, alone.beyond_error) == (ONE_ACTIVITY_ERROR, beyond)
    assert change_of_the_same({"saw": 2}, {"saw": after}) == alone


def test_the_upper_limb_figure_is_from_memory_and_beside_the_error():
    (met,) = activities_change(FIRST, FIRST | {"saw": 7}).important

    assert (met.figure.value, met.figure.status, met.met) == (1.2, Status.FROM_MEMORY, True)


def test_the_arabic_error_is_the_one_at_90_percent():
    # Printed: standard error 0.74, "least detectable change 1.73"; 1.65·√2·0.74 = 1.727.
    assert UPPER_LIMB_ERROR.value == pytest.approx(1.65 * math.sqrt(2) * 0.74, abs=0.005)
