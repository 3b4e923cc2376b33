"""How well repeated trials agree, and how large a change must be to be told from their error.

One table, subjects × trials, is taken apart by a two-way analysis of variance; all else follows
from its mean squares. Squares are in the measure's unit squared.

Sources
-------
Shrout & Fleiss (1979) Psychol Bull 86:420–8: agreement of one trial, their forms (2,1) and (3,1), and
its intervals, read second-hand.
Weir (2005) J Strength Cond Res 19:231–40, doi 10.1519/15184.1: standard error of measurement.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Self

from scipy import special

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

Z_95 = 1.96
TAIL = 0.025

MIN_PAIRS = Figure(
    value=20,
    unit=gettext_noop("pairs"),
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="with fewer subjects the intervals are too wide to say anything",
)


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A value with its 95 % interval; both limits are None where the data leave none."""

    value: float
    low: float | None = None
    high: float | None = None

    def times(self, factor: float) -> "Estimate":
        """Return value and limits, each times `factor`."""
        low, high = (None if limit is None else factor * limit for limit in (self.low, self.high))
        return Estimate(value=factor * self.value, low=low, high=high)


@dataclass(frozen=True, kw_only=True)
class MeanSquares:
    """The analysis of variance of `subjects` × `trials`, one reading a cell.

    `subjects_ms` is between subjects (BMS), `trials_ms` between trials (JMS), `error_ms` what is
    left (EMS). An agreement is None where it has no value (its denominator is not above 0, as when
    all readings are equal); it may be negative when subjects agree less with themselves than with
    each other, and is not cut off at 0. Without any error there is no interval.
    """

    subjects: int
    trials: int
    subjects_ms: float
    trials_ms: float
    error_ms: float

    @classmethod
    def of(cls, table: Sequence[Sequence[float]]) -> Self:
        """Return the mean squares of a table, one row a subject, one column a trial.

        Raises ValueError below two subjects or two trials, for rows of unequal length (a subject
        with a missing trial is left out by the caller) and for a reading that is not finite.
        """
        if len({len(row) for row in table}) > 1:
            raise ValueError("each subject needs the same number of trials")
        if not all(math.isfinite(value) for row in table for value in row):
            raise ValueError("a reading is not a finite number")
        # Fractions are exact: what is constant, or equal up to a shift, comes out as 0 and not nearly.
        rows = [[Fraction(value) for value in row] for row in table]
        columns = list(zip(*rows, strict=True))
        subjects, trials = len(rows), len(columns)
        if subjects < 2 or trials < 2:
            raise ValueError(f"{subjects} subjects with {trials} trials are too few to compare")
        readings = [value for row in rows for value in row]
        correction = _total(readings) ** 2 / len(readings)
        of_subjects = _squares(map(_total, rows)) / trials - correction
        of_trials = _squares(map(_total, columns)) / subjects - correction
        error = _squares(readings) - correction - of_subjects - of_trials
        return cls(
            subjects=subjects,
            trials=trials,
            subjects_ms=float(of_subjects / (subjects - 1)),
            trials_ms=float(of_trials / (trials - 1)),
            error_ms=float(error / ((subjects - 1) * (trials - 1))),
        )

    @property
    def icc_2_1(self) -> Estimate | None:
        """Absolute agreement of one trial: a shift between the trials counts as disagreement."""
        bms, ems, k = self.subjects_ms, self.error_ms, self.trials
        below = bms + (k - 1) * ems + k * (self.trials_ms - ems) / self.subjects
        if below <= 0:
            return None
        value = (bms - ems) / below
        low, high = self._two_way_limits(value)
        return Estimate(value=value, low=low, high=high)

    @property
    def icc_3_1(self) -> Estimate | None:
        """Consistency of one trial: a shift between the trials does not count."""
        bms, ems, k, df = self.subjects_ms, self.error_ms, self.trials, self.subjects - 1
        below = bms + (k - 1) * ems
        if below <= 0:
            return None
        value = (bms - ems) / below
        if ems == 0:
            return Estimate(value=value)
        ratios = (
            bms / ems / _f_quantile(df, self._error_df),
            bms / ems * _f_quantile(self._error_df, df),
        )
        low, high = ((ratio - 1) / (ratio + k - 1) for ratio in ratios)
        return Estimate(value=value, low=low, high=high)

    @property
    def sem(self) -> Estimate:
        """The standard error of measurement of one trial, √EMS, in the measure's unit.

        Of the readings in use this one depends neither on which agreement is chosen nor on how
        unlike the subjects are, and leaves a shift that all share (practice, fatigue) out of the
        error (Weir 2005). Interval: chi-square with (n − 1)(k − 1) degrees of freedom.
        """
        value = math.sqrt(self.error_ms)
        if value == 0:
            return Estimate(value=0.0)
        df = self._error_df
        low, high = (value * math.sqrt(df / special.chdtri(df, tail)) for tail in (TAIL, 1 - TAIL))
        return Estimate(value=value, low=low, high=high)

    @property
    def mdc95(self) -> Estimate:
        """The least change at 95 % between two trials, in the measure's unit, as `mdc95`."""
        return self.sem.times(mdc95(1))

    @property
    def _error_df(self) -> int:
        return (self.subjects - 1) * (self.trials - 1)

    def _two_way_limits(self, icc: float) -> tuple[float | None, float | None]:
        """Limits with the degrees of freedom that Satterthwaite's approximation gives."""
        n, k = self.subjects, self.trials
        bms, jms, ems = self.subjects_ms, self.trials_ms, self.error_ms
        # Without error, or with equal totals everywhere, the degrees of freedom are 0 / 0.
        if ems == 0 or bms == jms == 0:
            return None, None
        of_trials, of_error = k * icc * jms / ems, n * (1 + (k - 1) * icc) - k * icc
        below = (n - 1) * of_trials**2 + of_error**2
        df = self._error_df * (of_trials + of_error) ** 2 / below
        noise = k * jms + (k * n - k - n) * ems
        upper, lower = _f_quantile(n - 1, df), _f_quantile(df, n - 1)
        low = n * (bms - upper * ems) / (upper * noise + n * bms)
        high = n * (lower * bms - ems) / (noise + n * lower * bms)
        return (low, high) if math.isfinite(low) and math.isfinite(high) else (None, None)


def mdc95(sem: float) -> float:
    """Return the least change that 95 % of repeated readings stay below: 1.96·√2·SEM, in its unit.

    Raises ValueError when `sem` is negative or not finite. Source: Weir 2005.
    """
    if not math.isfinite(sem) or sem < 0:
        raise ValueError(f"{sem} is not 0 or more")
    return Z_95 * math.sqrt(2) * sem


def _total(numbers: Iterable[Fraction]) -> Fraction:
    return sum(numbers, Fraction(0))


def _squares(numbers: Iterable[Fraction]) -> Fraction:
    return _total(number * number for number in numbers)


def _f_quantile(df_above: float, df_below: float) -> float:
    return float(special.fdtri(df_above, df_below, 1 - TAIL))
