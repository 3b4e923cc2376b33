import math
import warnings
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from assessments.clinical.trend import Line, Trend, pairwise_slopes, theil_sen, trend

MONDAY = date(2026, 3, 2)

# Short ranges of whole numbers bring ties in both; two different x at least.
tied = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 4)), min_size=2, max_size=12).filter(
    lambda points: len({x for x, _ in points}) > 1
)
spread_out = st.lists(
    st.tuples(st.integers(0, 400), st.integers(0, 10_000).map(lambda tenths: tenths / 10)),
    min_size=2,
    max_size=12,
    unique_by=lambda point: point[0],
)
confidences = st.sampled_from([0.5, 0.8, 0.9, 0.93, 0.95, 0.99])


def weekly(*values, start=MONDAY):
    """One value a week, None for a week without one."""
    return [(start + timedelta(weeks=week), value) for week, value in enumerate(values)]


@given(st.one_of(tied, spread_out), confidences)
def test_slope_intercept_and_interval_are_scipys(points, confidence):
    x, y = zip(*points, strict=True)
    ours = theil_sen(x, y, confidence=confidence)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # ties may leave it the root of a negative number
        theirs = stats.theilslopes(y, x, confidence, method="separate")

    assert (ours.slope, ours.intercept) == pytest.approx((theirs.slope, theirs.intercept))
    if math.isnan(theirs.low_slope):
        assert (ours.low, ours.high) == (None, None)
    else:
        assert (ours.low, ours.high) == pytest.approx((theirs.low_slope, theirs.high_slope))


@given(tied)
def test_mirrored_values_have_the_mirrored_slope(points):
    x, y = zip(*points, strict=True)
    here, there = theil_sen(x, y), theil_sen(x, [-value for value in y])

    assert (there.slope, there.intercept) == (-here.slope, -here.intercept)


@given(tied, st.randoms(use_true_random=False))
def test_the_order_of_the_points_does_not_matter(points, random):
    mixed = random.sample(points, len(points))

    assert theil_sen(*zip(*mixed, strict=True)) == theil_sen(*zip(*points, strict=True))


def test_a_constant_series_has_no_slope_and_a_certain_one():
    assert theil_sen((0, 1, 2, 3), (5, 5, 5, 5)) == Line(slope=0, intercept=5, low=0, high=0)


def test_two_points_have_the_slope_between_them():
    assert theil_sen((0, 2), (1, 5)) == Line(slope=2, intercept=1, low=2, high=2)


def test_one_wild_value_does_not_turn_the_line():
    assert theil_sen((0, 1, 2, 3, 4), (8, 7, 6, 100, 4)).slope == -1


def test_the_slope_is_per_week_whatever_the_days_between():
    dated = [(MONDAY + timedelta(days=day), 6 - day / 7) for day in (0, 3, 10, 31)]

    assert trend(dated) == Trend(
        slope=pytest.approx(-1),
        low=pytest.approx(-1),
        high=pytest.approx(-1),
        since=MONDAY,
        until=date(2026, 4, 2),
        at_start=pytest.approx(6),
        values=4,
    )


def test_three_dates_have_no_trend_and_four_have():
    assert trend(weekly(6, 5, 4)) is None
    assert trend(weekly(6, 5, 4, 3)).slope == -1


def test_two_values_of_one_day_are_one_date():
    assert trend([*weekly(6, 5, 4), (MONDAY, 7)]) is None
    assert trend([*weekly(6, 5, 4, 3), (MONDAY, 6)]).values == 5


def test_a_missing_value_is_left_out_and_not_filled_in():
    with_gap = trend(weekly(None, 6, None, 5, 4, 3, None))

    assert (with_gap.since, with_gap.until) == (date(2026, 3, 9), date(2026, 4, 6))
    assert with_gap == trend([point for point in weekly(None, 6, None, 5, 4, 3) if point[1]])
    assert trend(weekly(6, None, 4, 3)) is None


def test_no_value_has_no_trend():
    assert trend([]) is None


def test_the_line_has_a_value_on_each_of_its_days_and_none_beyond():
    line = trend(weekly(6, 5, 4, 3))

    assert [line.on(MONDAY), line.on(date(2026, 3, 23))] == [6, 3]
    for day in (date(2026, 3, 1), date(2026, 3, 24)):
        with pytest.raises(ValueError, match="is not from 2026-03-02 to 2026-03-23"):
            line.on(day)


@pytest.mark.parametrize(
    ("x", "y", "message"),
    [
        ((0, 1), (1,), "can't go with"),
        ((), (), "two different x"),
        ((1,), (1,), "two different x"),
        ((2, 2, 2), (1, 2, 3), "two different x"),
        ((0, math.nan), (1, 2), "not finite"),
        ((0, 1), (1, math.inf), "not finite"),
    ],
)
def test_points_without_a_slope_are_refused(x, y, message):
    with pytest.raises(ValueError, match=message):
        theil_sen(x, y)


@pytest.mark.parametrize("confidence", [0.07, 1, math.nan])
def test_a_confidence_that_is_none_is_refused(confidence):
    with pytest.raises(ValueError, match="is not in"):
        theil_sen((0, 1), (1, 2), confidence=confidence)


@given(tied)
def test_each_pair_of_different_x_has_one_slope(points):
    x, y = zip(*points, strict=True)
    pairs = [(i, j) for i in range(len(x)) for j in range(i) if x[i] != x[j]]

    assert len(pairwise_slopes(x, y)) == len(pairs)
