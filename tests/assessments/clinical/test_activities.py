import pytest

from assessments.clinical.activities import activities_change, mean_rating

FIRST = {"lift a pan": 2, "tune the cello": 4, "saw": 3}


def test_the_mean_rises_by_the_least_detectable_change_and_counts():
    # Computed from Stratford 1995 Physiother Can 47:258–63: 3.0 to 5.0, 2 points at 90 %.
    change = activities_change(FIRST, {"lift a pan": 5, "tune the cello": 6, "saw": 4})

    assert (change.before, change.after, change.amount) == (3.0, 5.0, 2.0)
    assert change.beyond_error is True


def test_one_activity_more_by_two_points_is_within_the_error():
    assert activities_change(FIRST, FIRST | {"saw": 5}).beyond_error is False


def test_other_activities_are_not_compared():
    with pytest.raises(ValueError, match="only the same activities"):
        activities_change(FIRST, {"lift a pan": 5})


@pytest.mark.parametrize("ratings", [(), (1,) * 6, (11,), (-1,), (2.5,), (True,)])
def test_impossible_ratings_are_refused(ratings):
    with pytest.raises(ValueError, match="not"):
        mean_rating(ratings)
