"""How far a measure moved, against its measurement error and each published important change.

Published important-change figures for one questionnaire differ fourfold, so no function here
returns "improved" or "not improved": a `Change` carries every figure by name and whether it was
reached.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import isfinite

from clinic.evidence import Figure
from clinic.wording import Sentence, gettext_noop, say

PERCENT = "%"

# Differences of means carry binary rounding: nine decimals keep 92 from reading as a little more.
DECIMALS = 9


class Better(StrEnum):
    """The direction in which a measure improves."""

    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, kw_only=True)
class Published:
    """A figure by name, with the people it was found in, how, and over which time."""

    name: str
    figure: Figure
    population: str
    method: str
    horizon: str


@dataclass(frozen=True, kw_only=True)
class MeasurementError(Published):
    """A published size up to which two values of a measure may differ without a real change."""


@dataclass(frozen=True, kw_only=True)
class ImportantChange(Published):
    """A published change that mattered to patients, in the measure's unit or in % of before."""

    @property
    def in_percent(self) -> bool:
        """Whether the figure is a share of the first value."""
        return self.figure.unit == PERCENT


@dataclass(frozen=True, kw_only=True)
class Met:
    """One named figure and whether the improvement reached it; None when it can't be worked out."""

    name: str
    figure: Figure
    met: bool | None


@dataclass(frozen=True, kw_only=True)
class Change:
    """From `before` to `after`, both in `unit`; `amount` is after − before, `percent` of before.

    `over` says which part of the measure was compared, when not all of it could be.
    """

    before: float
    after: float
    unit: str
    better: Better
    amount: float
    percent: float | None
    error: Figure | None
    beyond_error: bool | None
    important: tuple[Met, ...]
    over: Sentence | None = None

    @property
    def improvement(self) -> float:
        """The amount with its sign turned so that better is positive."""
        return self.amount if self.better is Better.UP else -self.amount

    @property
    def reached(self) -> tuple[Met, ...]:
        """The figures that the improvement reached, each by name."""
        return tuple(row for row in self.important if row.met)

    @property
    def sentence(self) -> Sentence:
        """What can be said about measurement error, and nothing about importance."""
        words = _DIRECTION if self.unit else _WITHOUT_UNIT
        text = words[_sign(self.improvement)][self.beyond_error]
        error = "" if self.error is None else f"{self.error.value:g}"
        size = _written(abs(self.amount), unlike=self.error)
        size_unit = ONE.get(self.unit, self.unit) if size == "1" else self.unit
        return say(text, size=size, size_unit=size_unit, error=error, unit=self.unit)


def compare(
    before: float,
    after: float,
    *,
    unit: str,
    better: Better,
    error: Figure | None = None,
    at_error_counts: bool = False,
    important: tuple[ImportantChange, ...] = (),
) -> Change:
    """Return the change from `before` to `after`, both in `unit`.

    A change is beyond `error` (same unit) when it is greater, or also when equal if
    `at_error_counts`. An important change is reached by an improvement of at least its figure; one
    in percent can't be worked out from a first value of 0. Raises ValueError if not finite.
    """
    if not (isfinite(before) and isfinite(after)):
        raise ValueError(f"can't compare {before} with {after}")
    amount = round(after - before, DECIMALS)
    percent = None if before == 0 else round(100 * amount / before, DECIMALS)
    change = Change(
        before=before,
        after=after,
        unit=unit,
        better=better,
        amount=amount,
        percent=percent,
        error=error,
        beyond_error=_beyond(abs(amount), error, at_error_counts),
        important=(),
    )
    met = tuple(
        Met(name=row.name, figure=row.figure, met=_reached(change, row)) for row in important
    )
    return replace(change, important=met)


def _beyond(size: float, error: Figure | None, at_error_counts: bool) -> bool | None:
    if error is None:
        return None
    return size >= error.value if at_error_counts else size > error.value


def _reached(change: Change, row: ImportantChange) -> bool | None:
    if not row.in_percent:
        return change.improvement >= row.figure.value
    if change.percent is None:
        return None
    share = change.percent if change.better is Better.UP else -change.percent
    return share >= row.figure.value


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)


def _written(size: float, *, unlike: Figure | None) -> str:
    """Three digits, or as many as tell `size` from a figure that it is not equal to."""
    written = f"{size:.3g}" if size < 100 else f"{size:.0f}"
    digits = 4
    while unlike and float(written) == unlike.value != size and digits <= DECIMALS:
        written, digits = f"{size:.{digits}g}", digits + 1
    return written


# What one of them is called.
ONE = {"points": gettext_noop("point"), "days": gettext_noop("day")}
_SAME = gettext_noop("No change.")
_DIRECTION: dict[int, dict[bool | None, str]] = {
    1: {
        True: gettext_noop(
            "Better by %(size)s %(size_unit)s, more than the measurement error of %(error)s %(unit)s."
        ),
        False: gettext_noop(
            "Better by %(size)s %(size_unit)s, within the measurement error of %(error)s %(unit)s."
        ),
        None: gettext_noop(
            "Better by %(size)s %(size_unit)s; no published measurement error fits this comparison."
        ),
    },
    -1: {
        True: gettext_noop(
            "Worse by %(size)s %(size_unit)s, more than the measurement error of %(error)s %(unit)s."
        ),
        False: gettext_noop(
            "Worse by %(size)s %(size_unit)s, within the measurement error of %(error)s %(unit)s."
        ),
        None: gettext_noop(
            "Worse by %(size)s %(size_unit)s; no published measurement error fits this comparison."
        ),
    },
    0: {True: _SAME, False: _SAME, None: _SAME},
}
_WITHOUT_UNIT: dict[int, dict[bool | None, str]] = {
    1: {
        True: gettext_noop("Better by %(size)s, more than the measurement error of %(error)s."),
        False: gettext_noop("Better by %(size)s, within the measurement error of %(error)s."),
        None: gettext_noop(
            "Better by %(size)s; no published measurement error fits this comparison."
        ),
    },
    -1: {
        True: gettext_noop("Worse by %(size)s, more than the measurement error of %(error)s."),
        False: gettext_noop("Worse by %(size)s, within the measurement error of %(error)s."),
        None: gettext_noop(
            "Worse by %(size)s; no published measurement error fits this comparison."
        ),
    },
    0: {True: _SAME, False: _SAME, None: _SAME},
}
