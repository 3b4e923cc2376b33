"""One measure over a case: its values, its changes, and the sources that the changes stand on."""

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from string import ascii_lowercase

from assessments.clinical import grip, pain
from assessments.clinical.change import Change, compare
from assessments.clinical.measures import Measure
from assessments.clinical.pain import Context
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT
from clinic.evidence import Figure, Status


@dataclass(frozen=True, kw_only=True)
class Point:
    """One value of one measure; `trials` says of how many it is the mean."""

    on: datetime.date
    value: float
    trials: int = 1


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
        return self.points[0] if self.points else None

    @property
    def last(self) -> Point | None:
        return self.earlier[-1] if self.earlier else None

    @property
    def since_start(self) -> Change | None:
        return self._change(self.earlier[0]) if self.today and self.earlier else None

    @property
    def since_last(self) -> Change | None:
        """The change since the last time, which may also have been the first."""
        return self._change(self.last) if self.today and self.earlier else None

    @property
    def error(self) -> Figure | None:
        """The published measurement error of the change since the start."""
        return self.since_start.error if self.since_start else None

    def _change(self, before: Point) -> Change:
        return _CHANGES.get(self.measure.key, _by_register)(self.measure, before, self.today)


def _by_register(measure: Measure, before: Point, after: Point) -> Change:
    return compare(
        before.value,
        after.value,
        unit=measure.unit,
        better=measure.better,
        error=measure.errors[0] if measure.errors else None,
        important=measure.important,
    )


def _pain_free_grip(measure: Measure, before: Point, after: Point) -> Change:
    return grip.grip_change(
        before.value,
        after.value,
        PAIN_FREE_STRAIGHT.position,
        within_visit=False,
        trials=min(before.trials, after.trials),
    )


def _pain_rating(measure: Measure, before: Point, after: Point) -> Change:
    return pain.pain_change(before.value, after.value)


# Which published error fits depends on how a measure was taken: these do not take the register's first row.
_CHANGES: dict[str, Callable[[Measure, Point, Point], Change]] = {
    "grip_pain_free": _pain_free_grip,
    **{f"pain_{context.value}": _pain_rating for context in Context},
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
        Note(mark=mark, figures=tuple(figures))
        for mark, figures in zip(ascii_lowercase[after:], found.values(), strict=False)
    )


def _figures(lines: Iterable[Line], *, important: bool) -> Iterable[Figure]:
    for line in lines:
        if important and line.since_start:
            yield from (met.figure for met in line.since_start.important)
        elif not important and line.error:
            yield line.error
