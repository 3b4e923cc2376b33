"""One day of the appointment book as a grid: practitioners across, quarter hours down."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from cases.calendar import Calendar
from cases.models import Appointment
from clinic.models import Absence, Staff

QUARTER = datetime.timedelta(minutes=15)
HALF_HOUR = 2  # quarters


@dataclass(kw_only=True)
class Cell:
    """What one practitioner does for some quarters: booked, free, away, closed or over."""

    kind: str
    rows: int = 1
    bookings: list[Appointment] = field(default_factory=list)
    absence: Absence | None = None
    start: datetime.datetime | None = None

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
    cells: list[tuple[Staff, Cell]] = field(default_factory=list)

    @property
    def is_hour(self) -> bool:
        return self.at.minute == 0


def by_practitioner(
    appointments: Iterable[Appointment],
) -> list[tuple[Staff, list[Appointment]]]:
    """The appointments of each practitioner, in the order of their names."""

    def column(one):
        return one.practitioner.last_name, one.practitioner.first_name, one.practitioner_id

    ordered = groupby(sorted(appointments, key=column), key=lambda one: one.practitioner)
    return [(who, list(booked)) for who, booked in ordered]


class DayBook:
    """The grid of `day`; quarters before `now` are over and offer nothing."""

    def __init__(self, calendar: Calendar, people: list[Staff], *, now: datetime.datetime):
        self.calendar, self.day, self.now = calendar, calendar.first, now
        self.live = [one for one in calendar.appointments if not one.is_cancelled]
        self.cancelled = [one for one in calendar.appointments if one.is_cancelled]
        # Somebody who has left may still have bookings.
        left = {one.practitioner for one in self.live} - set(people)
        self.closed_for = calendar.closed.get(self.day, "")
        self.people = [*people, *sorted(left, key=str)]

    def rows(self) -> list[Row]:
        quarters = self._quarters()
        rows = [Row(at=wall.time()) for wall in quarters]
        for who in self.people:
            at = 0
            for cell in self._column(who, quarters):
                rows[at].cells.append((who, cell))
                at += cell.rows
        return rows

    def next_free(self, *, minutes: int) -> tuple[datetime.datetime, Staff] | None:
        """The first free start of the day and with whom."""
        firsts = (
            (starts[0], str(who), who)
            for who in self.people
            if (starts := self.calendar.free(who, self.day, minutes=minutes, after=self.now))
        )
        first = min(firsts, key=lambda found: found[:2], default=None)
        return (first[0], first[2]) if first else None

    def _wall(self, moment: datetime.datetime) -> datetime.datetime:
        """The hands of the clock at a moment, held within the day."""
        midnight = datetime.datetime.combine(self.day, datetime.time())
        wall = moment.astimezone(self.calendar.zone).replace(tzinfo=None)
        return min(max(wall, midnight), midnight + datetime.timedelta(days=1))

    def _quarters(self) -> list[datetime.datetime]:
        """The wall-clock quarters from opening, or the first booking, to closing, or the last."""
        hours = self.calendar.stretches(self.day)
        clocks = [
            datetime.datetime.combine(self.day, t) for h in hours for t in (h.opens, h.closes)
        ]
        clocks += [self._wall(t) for one in self.live for t in (one.starts_at, one.ends_at)]
        if not clocks:
            return []
        top = min(clocks).replace(minute=0, second=0, microsecond=0)
        count = -((top - max(clocks)) // QUARTER)
        return [top + number * QUARTER for number in range(count)]

    def _column(self, who: Staff, quarters: list[datetime.datetime]) -> list[Cell]:
        bookings = [one for one in self.live if one.practitioner_id == who.pk]
        cells: list[Cell] = []
        for wall in quarters:
            cell = self._quarter(who, wall, bookings)
            if cells and cell.continues(cells[-1]):
                cells[-1].take_in(cell)
            else:
                cells.append(cell)
        return cells

    def _quarter(self, who: Staff, wall: datetime.datetime, bookings: list[Appointment]) -> Cell:
        here = [
            one
            for one in bookings
            if self._wall(one.starts_at) < wall + QUARTER and wall < self._wall(one.ends_at)
        ]
        if here:
            return Cell(kind="booked", bookings=here)
        start = self.calendar.moment(self.day, wall.time())
        if start is None or not self._is_open(wall):
            return Cell(kind="closed")
        if away := self.calendar.absence_in(who, start, start + QUARTER):
            return Cell(kind="away", absence=away)
        return Cell(kind="over" if start < self.now else "free", start=start)

    def _is_open(self, wall: datetime.datetime) -> bool:
        hours = self.calendar.stretches(self.day)
        return any(one.opens <= wall.time() < one.closes for one in hours)
