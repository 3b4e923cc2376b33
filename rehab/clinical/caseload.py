"""What is counted over a caseload: horizons and their windows, thresholds by name, and who is missing.

No share stands alone: thresholds published for one questionnaire differ fourfold, so each is counted
by its own name, and the cases without a value are counted by the reason beside every result.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from assessments.clinical import activities, grip, pain
from assessments.clinical.change import DECIMALS, PERCENT, Better
from assessments.clinical.measures import BY_KEY, Measure
from assessments.clinical.questionnaires import tennis_elbow
from cases.clinical.labels import Labelled
from cases.clinical.likelihood import Interval, wilson_interval
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

WEEK = 7


def _setting(value: float, unit: str, limits: str) -> Figure:
    source = "no published limit was found"
    return Figure(
        value=value, unit=unit, source=source, status=Status.CLINIC_SETTING, limits=limits
    )


START_WINDOW = _setting(
    2,
    gettext_noop("weeks"),
    gettext_noop("the first signed value up to so long after opening is the start; later is none"),
)
MIN_FOR_SHARE = _setting(
    5,
    gettext_noop("cases"),
    gettext_noop("with fewer, counts are shown, but no percentage and no median"),
)


@dataclass(frozen=True, kw_only=True)
class Horizon:
    """A time after opening at which cases are compared, with the weeks before and after that count."""

    weeks: int
    window: Figure

    @property
    def day(self) -> int:
        """The day itself, counted from opening."""
        return WEEK * self.weeks

    @property
    def first_day(self) -> int:
        """The first day of the window, counted from opening."""
        return self.day - self.half_days

    @property
    def last_day(self) -> int:
        """The last day of the window, counted from opening."""
        return self.day + self.half_days

    @property
    def half_days(self) -> int:
        """Days that the window reaches to either side."""
        return round(WEEK * self.window.value)


def _horizon(weeks: int, around: int) -> Horizon:
    limits = gettext_noop("weeks before and after; the value nearest to the day counts")
    return Horizon(weeks=weeks, window=_setting(around, gettext_noop("weeks"), limits))


HORIZONS = (
    _horizon(6, 2),
    _horizon(12, 3),
    _horizon(26, 4),
    _horizon(52, 6),
)  # fmt: skip
# What the sentence at the head of the page speaks of.
LEADING = HORIZONS[1]


class Missing(Labelled):
    """Why a case that has a value at the start has none at a horizon."""

    CLOSED = "closed", gettext_noop("closed before")
    NOT_DUE = "not_due", gettext_noop("not due yet")
    LOST = "lost", gettext_noop("due and not measured")


def why_missing(horizon: Horizon, *, opened: date, closed: date | None, today: date) -> Missing:
    """Return why a case without a value at `horizon` has none.

    Closed before its window began; else, while open, not due until the window has passed; anything
    else could have been measured and was not. Raises ValueError when it closed before it opened.
    """
    if closed is not None and closed < opened:
        raise ValueError(f"a case opened on {opened} can't be closed on {closed}")
    if closed is not None and (closed - opened).days < horizon.first_day:
        return Missing.CLOSED
    passed = today > opened + timedelta(days=horizon.last_day)
    return Missing.NOT_DUE if closed is None and not passed else Missing.LOST


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A named threshold; `beyond` when the change must be more than its figure, not just as much."""

    name: str
    figure: Figure
    about: str = ""
    beyond: bool = False

    @property
    def in_percent(self) -> bool:
        """Whether the figure is a share of the value at the start."""
        return self.figure.unit == PERCENT

    @property
    def words(self) -> Sentence:
        """How far a change must go: "11 points or more", "more than 92 N"."""
        amount = say("%(value)s %(unit)s", value=f"{self.figure.value:.4g}", unit=self.figure.unit)
        if self.beyond:
            return say("more than %(amount)s", amount=amount)
        return say("%(amount)s or more", amount=amount)

    def reached(self, start: float, value: float, *, better: Better) -> bool | None:
        """Return whether the change from `start` to `value` reached it; None in percent of 0."""
        if self.in_percent and start == 0:
            return None
        improved = round(value - start if better is Better.UP else start - value, DECIMALS)
        needed = self.figure.value * (start / 100 if self.in_percent else 1)
        return improved > needed if self.beyond else improved >= round(needed, DECIMALS)


@dataclass(frozen=True, kw_only=True)
class Counted:
    """A measure that is counted, with its thresholds; `name` fits after "with", `leading` heads the page."""

    measure: Measure
    name: str
    marks: tuple[Mark, ...]
    leading: Mark


_ERROR = gettext_noop("measurement error")


def _counted(
    key: str, name: str, *errors: Figure, leading: Figure, at_error_counts: bool = False
) -> Counted:
    measure = BY_KEY[key]
    marks = (
        *(Mark(name=_ERROR, figure=figure, beyond=not at_error_counts) for figure in errors),
        *(
            Mark(name=row.name, figure=row.figure, about=row.population)
            for row in measure.important
        ),
    )
    first = next(mark for mark in marks if mark.figure is leading)
    return Counted(measure=measure, name=name, marks=marks, leading=first)


_PAIN_RULE = pain.TENNIS_ELBOW_RULE.figure
COUNTED = (
    _counted(
        "prtee",
        gettext_noop("the questionnaire"),
        tennis_elbow.TOTAL_ERROR,
        leading=tennis_elbow.TOTAL_IMPORTANT[2].figure,
    ),
    _counted(
        "pain_on_gripping",
        gettext_noop("pain on gripping"),
        pain.PAIN_ERROR,
        leading=_PAIN_RULE,
    ),
    _counted(
        "pain_worst_24h",
        gettext_noop("worst pain in 24 h"),
        pain.PAIN_ERROR,
        leading=_PAIN_RULE,
    ),
    _counted(
        "grip_pain_free",
        gettext_noop("pain-free grip"),
        grip.AUTHORS_RULE_BETWEEN_VISITS,
        leading=grip.AUTHORS_RULE_BETWEEN_VISITS,
    ),
    _counted(
        "activities",
        gettext_noop("the patient's own activities"),
        activities.MEAN_ERROR,
        leading=activities.MEAN_ERROR,
        at_error_counts=True,
    ),
)
COUNTED_BY_KEY = {row.measure.key: row for row in COUNTED}


@dataclass(frozen=True, kw_only=True)
class Share:
    """`count` of `total`; the interval is None where there are too few for a percentage."""

    count: int
    total: int

    @property
    def enough(self) -> bool:
        """Whether there are as many as `MIN_FOR_SHARE` asks for before a percentage is shown."""
        return self.total >= MIN_FOR_SHARE.value

    @property
    def percent(self) -> int | None:
        """The share in whole percent; None when there are too few."""
        return _whole(self.count / self.total) if self.enough else None

    @property
    def interval(self) -> tuple[int, int] | None:
        """The 95 % interval in whole percent (Wilson); None when there are too few."""
        if not self.enough:
            return None
        limits: Interval = wilson_interval(self.count, self.total)
        return _whole(limits.low), _whole(limits.high)


def _whole(share: float) -> int:
    return int(100 * share + 0.5)


@dataclass(frozen=True, kw_only=True)
class Reached:
    """How many of the measured cases reached one named threshold."""

    mark: Mark
    share: Share


@dataclass(frozen=True, kw_only=True)
class AtHorizon:
    """One horizon: of `started` cases, who was measured, who reached what, and who is missing why."""

    horizon: Horizon
    started: int
    measured: int
    reached: tuple[Reached, ...]
    missing: Mapping[Missing, int]

    @property
    def all_missing(self) -> int:
        """How many cases with a start have no value here."""
        return self.started - self.measured


@dataclass(frozen=True, kw_only=True)
class StageTime:
    """How long one stage took: finished stays by whole weeks, and the stays that still go on."""

    weeks: Mapping[int, int]
    running: int

    @property
    def finished(self) -> int:
        """How many stays have ended."""
        return sum(self.weeks.values())

    @property
    def median(self) -> float | None:
        """The median of the finished stays, in whole weeks; None with too few for one."""
        return median_of(self.weeks) if self.finished >= MIN_FOR_SHARE.value else None


@dataclass(frozen=True, kw_only=True)
class Attendance:
    """Appointments whose time has come and that were not cancelled; `unmarked` nobody has marked yet."""

    due: int
    missed: int
    unmarked: int

    @property
    def share(self) -> Share:
        """The missed ones of those that somebody has marked."""
        return Share(count=self.missed, total=self.due - self.unmarked)


def median_of(counts: Mapping[int, int]) -> float | None:
    """Return the median of values given as value → how many; None when there are none.

    Raises ValueError for a negative count.
    """
    if any(count < 0 for count in counts.values()):
        raise ValueError("a count is below 0")
    total = sum(counts.values())
    if total == 0:
        return None
    places, passed = ((total - 1) // 2, total // 2), 0
    found: list[float] = []
    for value in sorted(counts):
        passed += counts[value]
        while len(found) < len(places) and places[len(found)] < passed:
            found.append(value)
    return sum(found) / len(found)
