"""What charts show, as plain data: one measure over time, or several on one axis of time."""

import datetime
from dataclasses import dataclass
from enum import StrEnum

from clinic.evidence import Figure

Dated = tuple[datetime.date, float]
# The same thing said in fewer and fewer words: the first that fits is written.
Words = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Span:
    """A stretch of time with its name, for shading; `until` None runs to the end of the chart."""

    label: str
    since: datetime.date
    until: datetime.date | None = None
    short: str = ""


class MarkKind(StrEnum):
    """What happened on a day; each kind has a shape and a row of its own."""

    INJECTION = "injection"
    FLARE = "flare"


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One day on which something happened beside the measures."""

    day: datetime.date
    kind: MarkKind
    label: str


@dataclass(frozen=True, kw_only=True)
class Target:
    """A value that somebody waits for, and what waits for it; `figure` says where it comes from."""

    value: float
    words: Words
    figure: Figure | None = None


@dataclass(frozen=True, kw_only=True)
class Slope:
    """A straight line from one day and value to another, and its sentence."""

    start: Dated
    end: Dated
    words: Words


@dataclass(frozen=True, kw_only=True)
class Waited:
    """What share of people without treatment did well by a day: observed, and on no axis of values.

    `words` stand at the day; `sentences` say of whom it was observed, `figures` where that is printed.
    """

    day: datetime.date
    words: Words
    sentences: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Chart:
    """One measure over time. `error` is drawn around the first value; `beside` is a second, dashed line.

    The axis of time runs from the first to the last of what is shown, or from `since` to `until`;
    `captions` are the sentences under the drawing, `description` says in words what it shows.
    """

    title: str
    unit: str
    points: tuple[Dated, ...]
    description: str = ""
    captions: tuple[str, ...] = ()
    low: float = 0
    high: float | None = None
    places: int | None = None
    error: float | None = None
    error_words: Words = ()
    beside: tuple[Dated, ...] = ()
    beside_label: str = ""
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    targets: tuple[Target, ...] = ()
    slope: Slope | None = None
    waited: tuple[Waited, ...] = ()
    since: datetime.date | None = None
    until: datetime.date | None = None

    def __post_init__(self) -> None:
        if not self.points:
            raise ValueError("a chart needs at least one point")

    @property
    def rows(self) -> tuple[tuple[datetime.date, float, float | None], ...]:
        """The same values for a table: day, value, and the second line's value of that day."""
        beside = dict(self.beside)
        return tuple((day, value, beside.get(day)) for day, value in self.points)

    @property
    def column_places(self) -> int | None:
        """The decimals of each value of that table, so that those of a column stand under each other."""
        values = [value for _day, value in (*self.points, *self.beside)]
        are_whole = all(round(value, 1) == round(value) for value in values)
        return self.places if self.places is not None or are_whole else 1

    @property
    def first(self) -> datetime.date:
        """Where the axis of time begins."""
        return self.since or min(self._days)

    @property
    def last(self) -> datetime.date:
        return self.until or max(self._days)

    @property
    def _days(self) -> list[datetime.date]:
        days = [day for day, _value in (*self.points, *self.beside)]
        return days + [day for span in self.spans for day in (span.since, span.until) if day]

    @property
    def reach(self) -> float:
        """The highest value that the chart has to hold, with room for the error band."""
        values = [value for _day, value in (*self.points, *self.beside)]
        values += [target.value for target in self.targets]
        return max(*values, self.points[0][1] + (self.error or 0))


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One measure in an overview: its chart, and its figures in words."""

    chart: Chart
    figures: str
    change: str


@dataclass(frozen=True, kw_only=True)
class Overview:
    """Several measures on one axis of time, with the stages and marks that they share."""

    title: str
    description: str
    panels: tuple[Panel, ...]
    since: datetime.date
    until: datetime.date
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    waited: tuple[Waited, ...] = ()
    captions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.panels:
            raise ValueError("an overview needs at least one measure")

    @property
    def days(self) -> tuple[datetime.date, ...]:
        """The days on which anything of it was measured."""
        return tuple(sorted({day for panel in self.panels for day, _value in panel.chart.points}))
