"""Where days and values stand: the sheet, its axes and the figures written beside them."""

import datetime
import math
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Frame:
    """A sheet to draw on: its width, the height of one plot and the size of its type, all in one unit."""

    width: float
    plot: float
    text: float
    # Half the width of a point.
    dot: float


# The page at its full width and on a phone, in CSS pixels; A4 between its edges, in points.
PAGE = Frame(width=800, plot=220, text=15, dot=5)
PHONE = Frame(width=356, plot=190, text=15, dot=4.5)
PAPER = Frame(width=493, plot=104, text=12, dot=3.2)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """A plot on a sheet: `first` stands at `left`, `days` later is `right`; values go up from `bottom`."""

    left: float
    right: float
    top: float
    bottom: float
    first: datetime.date
    days: int
    low: float
    high: float

    def x(self, day: datetime.date) -> float:
        return self._along(self.left, self.right, (day - self.first).days / self.days)

    def y(self, value: float) -> float:
        return self._along(self.bottom, self.top, (value - self.low) / (self.high - self.low))

    def covers(self, day: datetime.date) -> bool:
        return 0 <= (day - self.first).days <= self.days

    @staticmethod
    def _along(start: float, end: float, share: float) -> float:
        return round(start + min(max(share, 0), 1) * (end - start), 1)


STEPS = (1, 2, 2.5, 5)
MOST_STEPS = 5


def ticks(low: float, high: float | None, *, reach: float, places: int) -> tuple[float, ...]:
    """Return the values written at an axis from `low`, in steps that people read.

    The axis ends at `high` where a measure has an end, and else at the first step that holds `reach`.
    A step has no more than `places` decimals.
    """
    if high is not None:
        return _fixed(low, high, places)
    reach = max(reach, low + 10**-places)
    found = [
        (step * math.ceil(round((reach - low) / step, 9)), step) for step in _steps(reach, places)
    ]
    length, step = min(pair for pair in found if pair[0] / pair[1] <= MOST_STEPS)
    return _run(low, step, round(length / step), places)


def _fixed(low: float, high: float, places: int) -> tuple[float, ...]:
    length = high - low
    whole = [step for step in _steps(length, places) if _divides(step, length, low)]
    step = min((step for step in whole if length / step <= MOST_STEPS), default=length)
    return _run(low, step, round(length / step), places)


def _divides(step: float, *numbers: float) -> bool:
    return all(abs(number / step - round(number / step)) < 1e-9 for number in numbers)


def _steps(length: float, places: int) -> list[float]:
    power = math.floor(math.log10(length))
    steps = [step * 10.0**p for p in (power - 1, power, power + 1) for step in STEPS]
    return [step for step in steps if round(step, places) == round(step, 9)]


def _run(low: float, step: float, count: int, places: int) -> tuple[float, ...]:
    return tuple(round(low + number * step, max(places, 6)) for number in range(count + 1))
