"""How well repeated trials agree, and how large a change must be to be told from their error.

One table, subjects × trials, is taken apart by a two-way analysis of variance; all else follows
from its mean squares. Squares are in the measure's unit squared.

Sources
-------
Shrout & Fleiss (1979) Psychol Bull 86:420–8: the six forms of agreement and their intervals, read
second-hand. The limits of the averages are those of the single trial carried over by Spearman and
Brown; for (2,k) other programs print other limits.
Weir (2005) J Strength Cond Res 19:231–40, doi 10.1519/15184.1: standard error of measurement.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Self

from scipy import special

from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

Z_95, Z_90 = 1.96, 1.645
TAIL = 0.025

MIN_PAIRS = Figure(
    value=20,
    unit=gettext_noop("pairs"),
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="with fewer subjects the intervals are too wide to say anything",
)

# Sums that a database has rounded may leave 0 by this share of the sum of squares.
ROUNDING = 1e-12
POLE = 1e-9


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
    left (EMS), `within_ms` within subjects (WMS). An agreement is None where it has no value (its
    denominator is not above 0, as when all readings are equal); it may be negative when subjects
    agree less with themselves than with each other, and is not cut off at 0. Without any error
    there is no interval.
    """

    subjects: int
    trials: int
    subjects_ms: float
    trials_ms: float
    error_ms: float
    within_ms: float

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
        return cls._of_sums(
            len(rows),
            [sum(column, Fraction(0)) for column in columns],
            squares=sum((value * value for row in rows for value in row), Fraction(0)),
            subject_squares=sum((sum(row, Fraction(0)) ** 2 for row in rows), Fraction(0)),
        )

    @classmethod
    def from_sums(
        cls,
        *,
        subjects: int,
        trial_totals: Sequence[float],
        sum_of_squares: float,
        sum_of_squared_subject_totals: float,
    ) -> Self:
        """Return the mean squares from what a database can add up without giving out a row.

        `trial_totals` holds one sum over all subjects for each trial; the other two sums run over
        all readings, and over all subjects' totals. Raises ValueError below two subjects or two
        trials, for a sum that is not finite, and for sums that can't belong to one table.
        """
        sums = (*trial_totals, sum_of_squares, sum_of_squared_subject_totals)
        if not all(math.isfinite(value) for value in sums):
            raise ValueError("a sum is not a finite number")
        return cls._of_sums(
            subjects,
            [Fraction(total) for total in trial_totals],
            squares=Fraction(sum_of_squares),
            subject_squares=Fraction(sum_of_squared_subject_totals),
            rounding=Fraction(ROUNDING),
        )

    @classmethod
    def _of_sums(
        cls,
        subjects: int,
        trial_totals: Sequence[Fraction],
        *,
        squares: Fraction,
        subject_squares: Fraction,
        rounding: Fraction = Fraction(0),
    ) -> Self:
        trials = len(trial_totals)
        if subjects < 2 or trials < 2:
            raise ValueError(f"{subjects} subjects with {trials} trials are too few to compare")
        correction = sum(trial_totals, Fraction(0)) ** 2 / (subjects * trials)
        between = subject_squares / trials - correction
        of_trials = sum((total**2 for total in trial_totals), Fraction(0)) / subjects - correction
        within = squares - subject_squares / trials
        spare = rounding * squares
        between, of_trials, within, error = (
            _cleared(value, spare) for value in (between, of_trials, within, within - of_trials)
        )
        return cls(
            subjects=subjects,
            trials=trials,
            subjects_ms=float(between / (subjects - 1)),
            trials_ms=float(of_trials / (trials - 1)),
            error_ms=float(error / ((subjects - 1) * (trials - 1))),
            within_ms=float(within / (subjects * (trials - 1))),
        )

    @property
    def enough(self) -> bool:
        """Whether there are as many subjects as `MIN_PAIRS` asks for before anything is shown."""
        return self.subjects >= MIN_PAIRS.value

    @property
    def icc_1_1(self) -> Estimate | None:
        """Agreement of one trial when each subject's trials stand for themselves."""
        return self._one_way(self.within_ms, self.subjects * (self.trials - 1))

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
        return self._one_way(self.error_ms, self._error_df)

    @property
    def icc_1_k(self) -> Estimate | None:
        """As `icc_1_1`, of the mean of all trials."""
        return self._average(self.within_ms, self.icc_1_1)

    @property
    def icc_2_k(self) -> Estimate | None:
        """As `icc_2_1`, of the mean of all trials."""
        bms, ems = self.subjects_ms, self.error_ms
        below = bms + (self.trials_ms - ems) / self.subjects
        if below <= 0:
            return None
        return self._carried_over((bms - ems) / below, self.icc_2_1)

    @property
    def icc_3_k(self) -> Estimate | None:
        """As `icc_3_1`, of the mean of all trials."""
        return self._average(self.error_ms, self.icc_3_1)

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
    def mdc90(self) -> Estimate:
        """The least change at 90 % between two trials, in the measure's unit, as `mdc90`."""
        return self.sem.times(mdc90(1))

    @property
    def _error_df(self) -> int:
        return (self.subjects - 1) * (self.trials - 1)

    def _one_way(self, noise_ms: float, noise_df: int) -> Estimate | None:
        bms, k, df = self.subjects_ms, self.trials, self.subjects - 1
        below = bms + (k - 1) * noise_ms
        if below <= 0:
            return None
        value = (bms - noise_ms) / below
        if noise_ms == 0:
            return Estimate(value=value)
        ratios = (
            bms / noise_ms / _f_quantile(df, noise_df),
            bms / noise_ms * _f_quantile(noise_df, df),
        )
        low, high = ((ratio - 1) / (ratio + k - 1) for ratio in ratios)
        return Estimate(value=value, low=low, high=high)

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

    def _average(self, noise_ms: float, single: Estimate | None) -> Estimate | None:
        if self.subjects_ms == 0 or single is None:
            return None
        return self._carried_over((self.subjects_ms - noise_ms) / self.subjects_ms, single)

    def _carried_over(self, value: float, single: Estimate | None) -> Estimate:
        if single is None or single.low is None or single.high is None:
            return Estimate(value=value)
        k = self.trials
        # The limit of the average has a pole where that of the single trial is −1 / (k − 1).
        if 1 + (k - 1) * single.low < POLE:
            return Estimate(value=value)
        low, high = (k * limit / (1 + (k - 1) * limit) for limit in (single.low, single.high))
        return Estimate(value=value, low=low, high=high)


def mdc95(sem: float) -> float:
    """Return the least change that 95 % of repeated readings stay below: 1.96·√2·SEM, in its unit.

    Raises ValueError when `sem` is negative or not finite. Source: Weir 2005.
    """
    return Z_95 * math.sqrt(2) * _not_negative(sem)


def mdc90(sem: float) -> float:
    """Return the same at 90 %: 1.645·√2·SEM, which papers print as 1.65·√2·SEM.

    Raises ValueError as `mdc95`.
    """
    return Z_90 * math.sqrt(2) * _not_negative(sem)


def sem_from_icc(sd: float, icc: float) -> float:
    """Return SD·√(1 − ICC), for papers that print only these; `sd` is of all readings, in its unit.

    It is another quantity than √EMS and depends on which agreement was printed (Weir 2005). Raises
    ValueError for a negative `sd` and for an agreement above 1.
    """
    if not icc <= 1:
        raise ValueError(f"agreement {icc} is not 1 or less")
    return _not_negative(sd) * math.sqrt(1 - icc)


def _not_negative(value: float) -> float:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"{value} is not 0 or more")
    return value


def _cleared(square: Fraction, spare: Fraction) -> Fraction:
    if abs(square) <= spare:
        return Fraction(0)
    if square < 0:
        raise ValueError("these sums can't belong to one table")
    return square


def _f_quantile(df_above: float, df_below: float) -> float:
    return float(special.fdtri(df_above, df_below, 1 - TAIL))
