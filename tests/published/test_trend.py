"""The robust slope against the example of its source."""

import pytest

from assessments.clinical.trend import pairwise_slopes, theil_sen

# Sen 1968 J Am Stat Assoc 63:1379–89 (from memory); example and interval read second-hand.
X = (1, 2, 3, 4, 10, 12, 18)
Y = (9, 15, 19, 20, 45, 55, 78)


def test_all_21_slopes_of_the_example_are_found():
    # Computed.
    assert [round(slope, 4) for slope in pairwise_slopes(X, Y)] == [
        1, 2.5, 3.6667, 3.7143, 3.75, 3.8333, 3.9333, 3.9375, 4, 4, 4, 4, 4.0588, 4.125,
        4.1429, 4.1667, 4.1818, 4.375, 5, 5, 6,
    ]  # fmt: skip


def test_slope_and_intercept_are_the_printed_ones():
    # The intercept is median y − slope · median x; the other usual definition would give 6.
    line = theil_sen(X, Y)

    assert (line.slope, line.intercept) == (4, 4)


def test_the_interval_at_93_percent_is_the_printed_one():
    line = theil_sen(X, Y, confidence=0.93)

    assert (round(line.low, 2), round(line.high, 2)) == (3.71, 4.38)
    assert (line.low, line.high) == (26 / 7, 35 / 8)


def test_three_points_have_the_printed_line():
    # Read second-hand, from the same public tests.
    line = theil_sen((0, 1, 2), (0, 1, 1))

    assert (line.slope, line.intercept) == pytest.approx((0.5, 0.5))
