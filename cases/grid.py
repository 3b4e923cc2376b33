"""The appointment book as a grid: a practitioner's day is a column, quarter hours go down."""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from cases.calendar import Calendar
from cases.models import Appointment
from clinic.models import Absence, Staff

QUARTER = 15  # minutes
DAY = 24 * 60
HALF_HOUR = 2  # quarters


@dataclass(frozen=True, kw_only=True)
class Column:
    """One practitioner's day."""

    who: Staff
    day: datetime.date

    @property
    def key(self) -> str:
        return f"{self.who.pk}-{self.day:%Y%m%d}"


@dataclass(kw_only=True)
class Cell:
    """What one practitioner does for some quarters: booked, free, away, closed or over."""

    kind: str
    rows: int = 1
    bookings: list[Appointment] = field(default_factory=list)
    absence: Absence | None = None
    why_closed: str = ""
    start: datetime.datetime | None = None
    place: str = ""  # a name for it that lasts while the book changes

    @property
    def state(self) -> str:
        """The look of a booked cell; its words stand in each booking's line."""
        return self.bookings[0].status if len(self.bookings) == 1 else "booked"

    def continues(self, above: "Cell") -> bool:
        """Whether this quarter belongs to the cell above it; free time is cut into half hours."""
        if self.kind != above.kind:
            return False
        if self.kind == "booked":
            return any(one in above.bookings for one in self.bookings)
        if self.kind == "free":
            return above.rows < HALF_HOUR
        return self.absence == above.absence

    def take_in(self, quarter: "Cell") -> None:
        self.rows += 1
        self.bookings += [one for one in quarter.bookings if one not in self.bookings]

    @property
    def bookable(self) -> bool:
        return self.kind == "free" and self.rows >= HALF_HOUR


@dataclass(kw_only=True)
class Row:
    at: datetime.time
    cells: list[tuple[Column, Cell]] = field(default_factory=list)

    @property
    def is_hour(self) -> bool:
        return self.at.minute == 0


@dataclass(frozen=True)
class Drawn:
    """A booking on the clock of one day, in minutes since midnight."""

    booking: Appointment
    top: int
    bottom: int


class Grid:
    """`columns` side by side; quarters before `now` are over and offer nothing."""

    def __init__(self, calendar: Calendar, columns: Iterable[Column], *, now: datetime.datetime):
        self.calendar, self.columns, self.now = calendar, list(columns), now
        self.live = [one for one in calendar.appointments if not one.is_cancelled]
        self.cancelled = [one for one in calendar.appointments if one.is_cancelled]

    def rows(self) -> list[Row]:
        rows = [Row(at=clock(minute)) for minute in self._quarters]
        for column in self.columns:
            at = 0
            for cell in self._cells(column):
                cell.place = f"{column.key}-{rows[at].at:%H%M}"
                rows[at].cells.append((column, cell))
                at += cell.rows
        return rows

    @cached_property
    def _drawn(self) -> dict[Column, list[Drawn]]:
        booked = defaultdict(list)
        for one in self.live:
            booked[one.practitioner_id].append(
                (one, *map(self.calendar.wall, (one.starts_at, one.ends_at)))
            )
        return {
            column: [
                Drawn(one, minutes_on(column.day, start), minutes_on(column.day, end))
                for one, start, end in booked[column.who.pk]
                if start.date() <= column.day <= end.date()
            ]
            for column in self.columns
        }

    @cached_property
    def _open(self) -> dict[datetime.date, list[tuple[int, int]]]:
        """The opening hours of each day, in minutes since midnight."""
        return {
            day: [
                (minute_of(one.opens), minute_of(one.closes))
                for one in self.calendar.stretches(day)
            ]
            for day in {column.day for column in self.columns}
        }

    @cached_property
    def _quarters(self) -> range:
        """The quarters from opening, or the first booking, to closing, or the last."""
        ends = [end for hours in self._open.values() for stretch in hours for end in stretch]
        drawn = (one for column in self._drawn.values() for one in column)
        ends += [end for one in drawn for end in (one.top, one.bottom)]
        return range(min(ends) // 60 * 60, max(ends), QUARTER) if ends else range(0)

    def _cells(self, column: Column) -> list[Cell]:
        cells: list[Cell] = []
        for minute in self._quarters:
            cell = self._quarter(column, minute)
            if cells and cell.continues(cells[-1]):
                cells[-1].take_in(cell)
            else:
                cells.append(cell)
        return cells

    def _quarter(self, column: Column, at: int) -> Cell:
        drawn = self._drawn[column]
        if here := [one.booking for one in drawn if one.top < at + QUARTER and at < one.bottom]:
            return Cell(kind="booked", bookings=here)
        start = self._moments[column.day][at]
        if start is None or not any(
            opens <= at < closes for opens, closes in self._open[column.day]
        ):
            return Cell(kind="closed", why_closed=self.calendar.closed.get(column.day, ""))
        end = start + datetime.timedelta(minutes=QUARTER)
        if away := self.calendar.absence_in(column.who, start, end):
            return Cell(kind="away", absence=away)
        return Cell(kind="over" if start < self.now else "free", start=start)

    @cached_property
    def _moments(self) -> dict[datetime.date, dict[int, datetime.datetime | None]]:
        """What each quarter of each day is on the line of time; None where the clocks change."""
        return {
            day: {at: self.calendar.moment(day, clock(at)) for at in self._quarters}
            for day in {column.day for column in self.columns}
        }


def minute_of(at: datetime.time) -> int:
    return at.hour * 60 + at.minute


def clock(at: int) -> datetime.time:
    return datetime.time(at // 60, at % 60)


def minutes_on(day: datetime.date, wall: datetime.datetime) -> int:
    """Minutes from a day's midnight to a time on the clock, held within the day."""
    since = wall - datetime.datetime.combine(day, datetime.time())
    return min(max(int(since.total_seconds()) // 60, 0), DAY)
