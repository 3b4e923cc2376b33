"""One measure over a case: its values, its changes, and the sources that the changes stand on."""

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from string import ascii_lowercase

from assessments.clinical import activities, grip
from assessments.clinical.change import Change
from assessments.clinical.global_rating import rated_change
from assessments.clinical.measures import ONE_ACTIVITY, Measure, ReadAs
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, say


@dataclass(frozen=True, kw_only=True)
class Point:
    """One value of one measure; `trials` says of how many it is the mean, `ratings` of which activities."""

    on: datetime.date
    value: float
    trials: int = 1
    ratings: Mapping[int, int] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One measure of one case: all its values, and those that a ledger shows.

    `start` is the first value, `last` the newest before today's visit, `today` that of today's visit.
    """

    measure: Measure
    points: tuple[Point, ...]
    today: Point | None

    @property
    def earlier(self) -> tuple[Point, ...]:
        return self.points[:-1] if self.today else self.points

    @property
    def start(self) -> Point | None:
        """The first value; a rating that is itself a change has none."""
        return self.points[0] if self.points and not self.is_change else None

    @property
    def is_change(self) -> bool:
        return self.measure.read_as is ReadAs.ITSELF

    @property
    def last(self) -> Point | None:
        return self.earlier[-1] if self.earlier else None

    @property
    def at_newest(self) -> "Line":
        """The line as it stood at its newest value, be that of today's visit or of one before."""
        return self if self.today or not self.points else replace(self, today=self.points[-1])

    @property
    def since_start(self) -> Change | None:
        if self.is_change:
            return rated_change(self.today.value) if self.today else None
        return self._change(self.earlier[0]) if self.today and self.earlier else None

    @property
    def since_last(self) -> Change | None:
        """The change since the last time, which may also have been the first."""
        if self.is_change:
            return None
        return self._change(self.last) if self.today and self.earlier else None

    @property
    def why_not_compared(self) -> Sentence:
        """What stands where there is no change."""
        if not self.today:
            return say("not measured")
        if self.is_change:
            return say("is a change itself")
        if self.measure.read_as is ReadAs.PERIOD and self.earlier:
            return say("not compared: the periods differ in length")
        return say("not comparable: other activities") if self.earlier else say("first value")

    @property
    def error(self) -> Figure | None:
        """The published measurement error of the change since the start."""
        return self.since_start.error if self.since_start else None

    def _change(self, before: Point) -> Change | None:
        if self.measure.read_as is ReadAs.PERIOD:
            return None
        if self.measure.key in _CHANGES:
            return _CHANGES[self.measure.key](before, self.today)
        return self.measure.change(before.value, self.today.value)


def _pain_free_grip(before: Point, after: Point) -> Change:
    return grip.grip_change(
        before.value,
        after.value,
        PAIN_FREE_STRAIGHT.position,
        within_visit=False,
        trials=min(before.trials, after.trials),
    )


def _own_activities(before: Point, after: Point) -> Change | None:
    return activities.change_of_the_same(before.ratings, after.ratings)


def _one_activity(before: Point, after: Point) -> Change:
    return activities.one_activity_change(before.value, after.value)


# Which published error fits depends on how a measure was taken: these do not take the register's first row.
_CHANGES: dict[str, Callable[[Point, Point], Change | None]] = {
    "activities": _own_activities,
    ONE_ACTIVITY: _one_activity,
    "grip_pain_free": _pain_free_grip,
}


@dataclass(frozen=True, kw_only=True)
class Moments:
    """One figure at the start, the last time and today; None where it was not measured."""

    start: float | None
    last: float | None
    today: float | None


def moments(line: Line) -> Moments:
    """Return a line's three figures."""
    points = (line.start, line.last, line.today)
    start, last, today = (point.value if point else None for point in points)
    return Moments(start=start, last=last, today=today)


@dataclass(frozen=True, kw_only=True)
class Note:
    """One source with all the figures that are shown from it; `mark` stands at their lines."""

    mark: str
    figures: tuple[Figure, ...]

    @property
    def text(self) -> str:
        return self.figures[0].limits

    @property
    def source(self) -> str:
        return self.figures[0].source

    @property
    def status(self) -> Status:
        return self.figures[0].status


def notes_of(lines: Iterable[Line], *, important: bool = False, after: int = 0) -> tuple[Note, ...]:
    """Return one note a source: of the measurement errors, or of the important changes.

    Marks go on `after` so many that the page has used already.
    """
    found: dict[tuple, list[Figure]] = {}
    for figure in _figures(lines, important=important):
        same = found.setdefault((figure.source, figure.status, figure.limits), [])
        if figure not in same:
            same.append(figure)
    return tuple(
        Note(mark=mark_of(place), figures=tuple(figures))
        for place, figures in enumerate(found.values(), start=after)
    )


def mark_of(place: int) -> str:
    """Return the letter of the nth note on a page: a to z, then aa, ab, …"""
    before, letter = divmod(place, len(ascii_lowercase))
    return (mark_of(before - 1) if before else "") + ascii_lowercase[letter]


def _figures(lines: Iterable[Line], *, important: bool) -> Iterable[Figure]:
    for line in lines:
        if important and line.since_start:
            yield from (met.figure for met in line.since_start.important)
        elif not important and line.error:
            yield line.error
