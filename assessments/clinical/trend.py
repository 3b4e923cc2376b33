"""A robust slope of a measure over time: the median of the slopes between all pairs of points.

Sources
-------
Sen (1968) J Am Stat Assoc 63:1379–89, from memory; its example was read second-hand. Interval from
the same paper, with its correction for ties.
Drawing no line below four dates is common practice without a source.
"""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist, median

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

MIN_DATES = Figure(
    value=4,
    unit=gettext_noop("dates"),
    source="no published limit was found",
    status=Status.CONVENTION,
    limits="fewer distinct dates have no trend line",
)
DAYS_A_WEEK = 7


@dataclass(frozen=True, kw_only=True)
class Line:
    """y = intercept + slope · x; `low` and `high` of the slope are None where ties leave no interval."""

    slope: float
    intercept: float
    low: float | None
    high: float | None


@dataclass(frozen=True, kw_only=True)
class Trend:
    """A line over dates: `slope`, `low` and `high` in the measure's unit a week.

    `since` and `until` are the first and last date that has a value; the line is drawn between them
    and not beyond. `values` says how many values it stands on.
    """

    slope: float
    low: float | None
    high: float | None
    since: date
    until: date
    at_start: float
    values: int

    def on(self, day: date) -> float:
        """Return the line's value on a day from `since` to `until`. Raises ValueError outside."""
        if not self.since <= day <= self.until:
            raise ValueError(f"{day} is not from {self.since} to {self.until}")
        return self.at_start + self.slope * (day - self.since).days / DAYS_A_WEEK


def trend(values: Iterable[tuple[date, float | None]], *, confidence: float = 0.95) -> Trend | None:
    """Return the trend of dated values in any order, or None below `MIN_DATES` distinct dates.

    A missing value (None) is left out: it is no value and is never filled in. Two values of one day
    both count. Raises ValueError as `theil_sen`.
    """
    points = [(day, value) for day, value in values if value is not None]
    days = {day for day, _ in points}
    if len(days) < MIN_DATES.value:
        return None
    since = min(days)
    weeks = [(day - since).days / DAYS_A_WEEK for day, _ in points]
    line = theil_sen(weeks, [value for _, value in points], confidence=confidence)
    return Trend(
        slope=line.slope,
        low=line.low,
        high=line.high,
        since=since,
        until=max(days),
        at_start=line.intercept,
        values=len(points),
    )


def theil_sen(x: Sequence[float], y: Sequence[float], *, confidence: float = 0.95) -> Line:
    """Return the line through points (x, y): median slope, and median y − slope · median x.

    `low` and `high` bound the slope at `confidence`, a share in [0.5, 1): Sen 1968, equation 2.6.
    Raises ValueError when x and y differ in length, when all x are equal or there are fewer than
    two, for a number that is not finite and for another confidence.
    """
    if not 0.5 <= confidence < 1:
        raise ValueError(f"confidence {confidence} is not in [0.5, 1)")
    slopes = pairwise_slopes(x, y)
    if not slopes:
        raise ValueError("a slope takes two different x")
    slope = median(slopes)
    low, high = _limits(slopes, x, y, confidence)
    return Line(slope=slope, intercept=median(y) - slope * median(x), low=low, high=high)


def pairwise_slopes(x: Sequence[float], y: Sequence[float]) -> list[float]:
    """Return the slopes between all pairs of points with different x, smallest first.

    Raises ValueError when x and y differ in length and for a number that is not finite.
    """
    if len(x) != len(y):
        raise ValueError(f"{len(x)} x can't go with {len(y)} y")
    if not all(math.isfinite(number) for number in (*x, *y)):
        raise ValueError("a number is not finite")
    points = sorted(zip(x, y, strict=True))
    return sorted(
        (later_y - y0) / (later_x - x0)
        for place, (x0, y0) in enumerate(points)
        for later_x, later_y in points[place + 1 :]
        if later_x > x0
    )


def _limits(
    slopes: list[float], x: Sequence[float], y: Sequence[float], confidence: float
) -> tuple[float | None, float | None]:
    count = len(y)
    variance = (_pairs(count) - sum(map(_pairs, _tied(x))) - sum(map(_pairs, _tied(y)))) / 18
    if variance < 0:
        return None, None
    reach = NormalDist().inv_cdf((1 + confidence) / 2) * math.sqrt(variance)
    lower = max(round((len(slopes) - reach) / 2) - 1, 0)
    upper = min(round((len(slopes) + reach) / 2), len(slopes) - 1)
    return slopes[lower], slopes[upper]


def _pairs(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _tied(numbers: Sequence[float]) -> list[int]:
    return [count for count in Counter(numbers).values() if count > 1]
