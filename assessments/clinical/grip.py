"""Grip strength: trials, the two sides, and what counts as a real change.

Sources
-------
Hill, Heales, Stanton, Kean (2023) Physiother Theory Pract 39(5):1007–15: error of pain-free grip.
Dorf et al. (2007) J Hand Surg Am 32(6):882–6, doi 10.1016/j.jhsa.2007.04.010: elbow position.
"""

from dataclasses import dataclass
from statistics import fmean

from assessments.clinical.change import Better, Change, ImportantChange, compare
from assessments.clinical.dominance import DominanceFormula, expected_ratio
from assessments.clinical.force import N_PER_KGF
from cases.clinical.labels import Labelled
from cases.clinical.sides import Handedness, Side
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

# Three trials count; what is struck out or asked again is kept beside them.
MAX_TRIALS = 3
MAX_SQUEEZES = 6


class Position(Labelled):
    """How the elbow is held."""

    STRAIGHT = "straight", gettext_noop("elbow straight")
    BENT = "bent", gettext_noop("elbow at 90 degrees")


class Effort(Labelled):
    """Pain-free: force at the first onset of pain, or the maximum when no pain comes."""

    PAIN_FREE = "pain_free", gettext_noop("pain-free")
    MAXIMAL = "maximal", gettext_noop("maximal")


_HILL = "Hill et al. 2023 Physiother Theory Pract 39(5):1007–15"
_DORF = "Dorf et al. 2007 J Hand Surg Am 32(6):882–6, doi 10.1016/j.jhsa.2007.04.010"

PLAUSIBLE_N = (
    Figure(
        value=0, unit="N", source="pain at the first touch of the handle", status=Status.CONVENTION
    ),
    Figure(
        value=1000,
        unit="N",
        source="a little beyond common hand dynamometers",
        status=Status.CONVENTION,
    ),
)
SPREAD_LIMIT = Figure(
    value=20,
    unit="%",
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="largest minus smallest trial, as a share of their mean; above it: measure again",
)


def check_trials(trials_n: tuple[float, ...]) -> None:
    """Raise ValueError unless there are one to three plausible trials, in newtons."""
    if not 1 <= len(trials_n) <= MAX_TRIALS:
        raise ValueError(f"a grip test has 1 to {MAX_TRIALS} trials, not {len(trials_n)}")
    low, high = (figure.value for figure in PLAUSIBLE_N)
    for trial_n in trials_n:
        if not low <= trial_n <= high:
            raise ValueError(f"grip {trial_n} N is not between {low:g} and {high:g} N")


def mean_n(trials_n: tuple[float, ...]) -> float:
    """Return the mean of one to three trials, in newtons. Raises ValueError as `check_trials`."""
    check_trials(trials_n)
    return fmean(trials_n)


def spread(trials_n: tuple[float, ...]) -> float | None:
    """Return (largest − smallest) / mean in %; None for one trial or when all are 0.

    Raises ValueError as `check_trials`.
    """
    mean = mean_n(trials_n)
    if len(trials_n) == 1 or mean == 0:
        return None
    return 100 * (max(trials_n) - min(trials_n)) / mean


def scattered(trials_n: tuple[float, ...], limit: Figure = SPREAD_LIMIT) -> bool:
    """Return whether the trials lie further apart than `limit` (%) and should be repeated."""
    share = spread(trials_n)
    return share is not None and share > limit.value


def ratio(affected_n: float, other_n: float) -> float:
    """Return affected ÷ other, same position and effort. Raises ValueError unless other > 0."""
    if affected_n < 0 or not other_n > 0:
        raise ValueError(f"no ratio of {affected_n} N to {other_n} N")
    return affected_n / other_n


def deficit_n(affected_n: float, other_n: float) -> float:
    """Return how much weaker the affected side is, in newtons; negative when it is stronger."""
    return other_n - affected_n


def deficit_percent(affected_n: float, other_n: float) -> float:
    """Return the deficit in % of the other side. Raises ValueError as `ratio`."""
    return 100 * (1 - ratio(affected_n, other_n))


@dataclass(frozen=True, kw_only=True)
class ElbowDifference:
    """Force lost from bent to straight elbow; Dorf 2007 does not print its denominator, so both."""

    lost_n: float
    percent_of_bent: float
    percent_of_straight: float


ELBOW_DIFFERENCE = Figure(
    value=8,
    unit="%",
    source=_DORF,
    status=Status.PUBLISHED,
    limits="83 % accurate in 81 patients, other arm as control; denominator not named",
)


def elbow_difference(straight_n: float, bent_n: float) -> ElbowDifference:
    """Return the loss from bent to straight, both in newtons. Raises ValueError unless both > 0."""
    if not (straight_n > 0 and bent_n > 0):
        raise ValueError(f"no difference between {bent_n} N and {straight_n} N")
    lost = bent_n - straight_n
    return ElbowDifference(
        lost_n=lost,
        percent_of_bent=100 * lost / bent_n,
        percent_of_straight=100 * lost / straight_n,
    )


def pain_free_share(pain_free_n: float, maximal_n: float) -> float:
    """Return pain-free grip in % of maximal grip, both in newtons. Raises ValueError as `ratio`."""
    return 100 * ratio(pain_free_n, maximal_n)


@dataclass(frozen=True, kw_only=True)
class GripError:
    """One row of the published table: the least real change at 95 %."""

    position: Position
    within_visit: bool
    trials: int
    figure: Figure


def _row(position: Position, *, within_visit: bool, trials: int, mdc95_n: float) -> GripError:
    interval = "20–30 minutes apart" if within_visit else "2–28 days apart"
    figure = Figure(
        value=mdc95_n,
        unit="N",
        source=_HILL,
        status=Status.PUBLISHED,
        limits=f"pain-free grip, forearm palm down, 23 people with tennis elbow, {interval}",
    )
    return GripError(position=position, within_visit=within_visit, trials=trials, figure=figure)


GRIP_ERRORS = (
    _row(Position.BENT,     within_visit=False, trials=1, mdc95_n=133),
    _row(Position.BENT,     within_visit=False, trials=3, mdc95_n=90),
    _row(Position.STRAIGHT, within_visit=False, trials=1, mdc95_n=118),
    _row(Position.STRAIGHT, within_visit=False, trials=3, mdc95_n=92),
    _row(Position.BENT,     within_visit=True,  trials=1, mdc95_n=79),
    _row(Position.BENT,     within_visit=True,  trials=3, mdc95_n=52),
    _row(Position.STRAIGHT, within_visit=True,  trials=1, mdc95_n=125),
    _row(Position.STRAIGHT, within_visit=True,  trials=3, mdc95_n=46),
)  # fmt: skip

# The authors give one figure for both positions: the larger of the two mean-of-three rows.
AUTHORS_RULE_BETWEEN_VISITS = Figure(
    value=92,
    unit="N",
    source=_HILL,
    status=Status.PUBLISHED,
    limits="mean of three, either position, between visits",
)
AUTHORS_RULE_WITHIN_VISIT = Figure(
    value=52,
    unit="N",
    source=_HILL,
    status=Status.PUBLISHED,
    limits="mean of three, either position, within one visit",
)

GRIP_IMPORTANT = (
    ImportantChange(
        name=gettext_noop("important change after a broken wrist"),
        figure=Figure(
            value=6.5 * N_PER_KGF.value,
            unit="N",
            source="Kim et al. 2014 Clin Orthop Relat Res 472:2536–41 (6.5 kg)",
            status=Status.COMPUTED,
            limits="not tennis elbow, not pain-free grip; smaller than the error between visits",
        ),
        population="distal radius fracture, n = 50",
        method="anchor",
        horizon="1 year",
    ),
)


def grip_error(position: Position, *, within_visit: bool, trials: int) -> Figure | None:
    """Return the least real change in newtons; None for two trials, which the study lacks.

    Raises ValueError unless 1 ≤ trials ≤ 3.
    """
    if not 1 <= trials <= MAX_TRIALS:
        raise ValueError(f"a grip test has 1 to {MAX_TRIALS} trials, not {trials}")
    wanted = (position, within_visit, trials)
    rows = (r for r in GRIP_ERRORS if (r.position, r.within_visit, r.trials) == wanted)
    return next((row.figure for row in rows), None)


def grip_change(
    before_n: float, after_n: float, position: Position, *, within_visit: bool, trials: int
) -> Change:
    """Return the change of pain-free grip between two tests in one position, in newtons.

    Beyond error is strictly more than the row of `GRIP_ERRORS`. Raises ValueError as `grip_error`
    and for negative forces.
    """
    if before_n < 0 or after_n < 0:
        raise ValueError(f"grip can't go from {before_n} N to {after_n} N")
    error = grip_error(position, within_visit=within_visit, trials=trials)
    return compare(
        before_n, after_n, unit="N", better=Better.UP, error=error, important=GRIP_IMPORTANT
    )


@dataclass(frozen=True, kw_only=True)
class GripResult:
    """Both sides in one position and with one effort, in newtons; one to three trials that count.

    `other_trials_n` is empty when only the affected side was tested. `error` is what a deficit must
    exceed to be told from chance: the within-visit figure, None where none is published.
    """

    position: Position
    effort: Effort
    affected_side: Side
    handedness: Handedness
    affected_trials_n: tuple[float, ...]
    other_trials_n: tuple[float, ...]
    error: Figure | None

    @property
    def affected_n(self) -> float:
        """The mean of the affected side's trials."""
        return mean_n(self.affected_trials_n)

    @property
    def other_n(self) -> float | None:
        """The mean of the other side's trials; None when it was not tested."""
        return mean_n(self.other_trials_n) if self.other_trials_n else None

    @property
    def affected_best_n(self) -> float:
        """The affected side's best trial."""
        return max(self.affected_trials_n)

    @property
    def other_best_n(self) -> float | None:
        """The other side's best trial; None when it was not tested."""
        return max(self.other_trials_n, default=None)

    @property
    def affected_spread(self) -> float | None:
        """(Largest − smallest) / mean of the affected side in %; None as `spread`."""
        return spread(self.affected_trials_n)

    @property
    def other_spread(self) -> float | None:
        """(Largest − smallest) / mean of the other side in %; None as `spread` or not tested."""
        return spread(self.other_trials_n) if self.other_trials_n else None

    @property
    def expected_ratio(self) -> float:
        """Affected ÷ other as expected of two healthy arms of this person."""
        return expected_ratio(self.handedness, self.affected_side)

    @property
    def ratio(self) -> float | None:
        """Affected ÷ other; None when the other side has no force to compare with."""
        return ratio(self.affected_n, self.other_n) if self.other_n else None

    @property
    def adjusted_ratio(self) -> float | None:
        """The ratio divided by the expected one, 1 is "as expected"; None as `ratio`."""
        return None if self.ratio is None else self.ratio / self.expected_ratio

    @property
    def adjusted_ratio_of_dominant(self) -> float | None:
        """The adjusted ratio if the published figure is a share of the dominant hand."""
        formula = DominanceFormula.OF_DOMINANT
        expected = expected_ratio(self.handedness, self.affected_side, formula)
        return None if self.ratio is None else self.ratio / expected

    @property
    def deficit_n(self) -> float | None:
        """How much weaker the affected side is, in newtons; None when the other was not tested."""
        return None if self.other_n is None else deficit_n(self.affected_n, self.other_n)

    @property
    def deficit_percent(self) -> float | None:
        """The deficit in % of the other side; None as `ratio`."""
        return deficit_percent(self.affected_n, self.other_n) if self.other_n else None

    @property
    def deficit_beyond_error(self) -> bool | None:
        """Whether the deficit is strictly more than `error`; None when it can't be judged."""
        if self.deficit_n is None or self.error is None:
            return None
        return self.deficit_n > self.error.value


def summarize(
    affected_trials_n: tuple[float, ...],
    other_trials_n: tuple[float, ...],
    *,
    affected_side: Side,
    handedness: Handedness,
    position: Position,
    effort: Effort,
) -> GripResult:
    """Return what one grip test says; empty `other_trials_n` when only one side was tested.

    The published error is for pain-free grip, so a maximal test has none; unequal numbers of trials
    take the row of the smaller. Raises ValueError as `check_trials`.
    """
    check_trials(affected_trials_n)
    error = None
    if other_trials_n and effort is Effort.PAIN_FREE:
        trials = min(len(affected_trials_n), len(other_trials_n))
        error = grip_error(position, within_visit=True, trials=trials)
    return GripResult(
        position=position,
        effort=effort,
        affected_side=affected_side,
        handedness=handedness,
        affected_trials_n=affected_trials_n,
        other_trials_n=other_trials_n,
        error=error,
    )
