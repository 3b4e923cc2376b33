"""Everybody's week: for each practitioner and day, in the order of time, who is booked and what is free."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from cases.calendar import Calendar, span
from cases.daybook import Free, with_those_who_left
from cases.grid import Column, minute_of, minutes_on
from cases.models import Appointment
from clinic import slots
from clinic.models import Absence, Staff

SHORTEST = datetime.timedelta(minutes=15)  # less is no time to see anybody in


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a day: a booking, or free time; start and end on the clinic's own clock.

    A page has a thousand of them, so its template is handed bare words.
    """

    start: datetime.datetime
    end: datetime.datetime
    booking: Appointment | None = None

    @property
    def key(self) -> str:
        return str(self.booking.pk)

    @property
    def begins(self) -> str:
        return f"{self.start:%H:%M}"

    @property
    def ends(self) -> str:
        return f"{self.end:%H:%M}"

    @property
    def minutes(self) -> str:
        return str(self.booking.minutes)

    @property
    def sequence(self) -> str:
        return str(self.booking.sequence)

    @property
    def name(self) -> str:
        patient = self.booking.patient
        return f"{patient.family_name}, {patient.given_name}"

    @property
    def length(self) -> datetime.timedelta:
        return self.end.astimezone(datetime.UTC) - self.start.astimezone(datetime.UTC)


@dataclass(frozen=True, kw_only=True)
class Bar:
    """A part of the drawn day, in minutes of the clock from its left end."""

    kind: str
    x: int
    width: int


@dataclass(frozen=True, kw_only=True)
class ShortDay:
    """One practitioner's day in a few lines; `bars` is the same as a drawing."""

    column: Column
    lines: list[Line]
    bars: list[Bar]
    absences: list[Absence]
    why_closed: str
    is_open: bool


@dataclass(frozen=True, kw_only=True)
class ShortWeek:
    who: Staff
    days: list[ShortDay]

    @property
    def booked(self) -> int:
        return sum(line.booking is not None for day in self.days for line in day.lines)

    @property
    def free(self) -> datetime.timedelta:
        lines = (line for day in self.days for line in day.lines if line.booking is None)
        return sum((line.length for line in lines), datetime.timedelta())


class WeekOfAll:
    """The calendar's days with each of `people`; what is over before `now` is not free."""

    def __init__(self, calendar: Calendar, people: Iterable[Staff], *, now: datetime.datetime):
        self.calendar, self.now = calendar, next_quarter(now)
        self.people = with_those_who_left(calendar, people)
        self.days = calendar.working_days()
        self.live = [one for one in calendar.appointments if not one.is_cancelled]
        self._booked: dict[tuple[int, datetime.date], list[Line]] = defaultdict(list)
        for one in self.live:
            start, end = (at.astimezone(calendar.zone) for at in (one.starts_at, one.ends_at))
            line = Line(start=start, end=end, booking=one)
            self._booked[one.practitioner_id, start.date()].append(line)

    @cached_property
    def rows(self) -> list[ShortWeek]:
        return [
            ShortWeek(who=who, days=[self._day(Column(who=who, day=day)) for day in self.days])
            for who in self.people
        ]

    def next_free(self, *, minutes: int) -> Free | None:
        """The first free time of the week that is so long, and with whom."""
        length = datetime.timedelta(minutes=minutes)
        found = (
            (line.start, row.who)
            for row in self.rows
            for day in row.days
            for line in day.lines
            if line.booking is None and line.length >= length
        )
        return min(found, key=lambda free: (free[0], str(free[1])), default=None)

    @cached_property
    def width(self) -> int:
        """How many minutes of the clock are drawn: from the first opening of the week to the last closing."""
        return max((minute_of(one.closes) for one in self._hours), default=0) - self._left

    @cached_property
    def _left(self) -> int:
        return min((minute_of(one.opens) for one in self._hours), default=0)

    @property
    def _hours(self) -> list[slots.Hours]:
        return self.calendar.hours

    @cached_property
    def _open(self) -> dict[datetime.date, list[slots.Span]]:
        zone, hours = self.calendar.zone, self._hours
        return {
            day: [] if day in self.calendar.closed else slots.open_spans(day, hours, zone)
            for day in self.days
        }

    @cached_property
    def _taken(self) -> dict[int, list[slots.Span]]:
        return {who.pk: slots.merge(self.calendar.taken[who.pk]) for who in self.people}

    def _day(self, column: Column) -> ShortDay:
        booked, free = self._booked[column.who.pk, column.day], list(self._free(column))
        away = [one for one in self.calendar.absences if self._is_away(one, column)]
        bars = [self._bar("free", line.start, line.end, column.day) for line in free]
        bars += [self._bar("away", one.starts_at, one.ends_at, column.day) for one in away]
        bars += [self._bar(one.booking.status, one.start, one.end, column.day) for one in booked]
        return ShortDay(
            column=column,
            lines=sorted([*booked, *free], key=lambda line: line.start),
            bars=[bar for bar in bars if bar.width > 0],
            absences=away,
            why_closed=self.calendar.closed.get(column.day, ""),
            is_open=bool(self._open[column.day]),
        )

    def _free(self, column: Column) -> Iterator[Line]:
        for gap in slots.gaps(self._open[column.day], self._taken[column.who.pk]):
            start = max(gap.start, self.now)
            if gap.end - start >= SHORTEST:
                start, end = (at.astimezone(self.calendar.zone) for at in (start, gap.end))
                yield Line(start=start, end=end)

    def _is_away(self, absence: Absence, column: Column) -> bool:
        mine = absence.staff_id == column.who.pk
        return mine and any(span(absence).overlaps(one) for one in self._open[column.day])

    def _bar(self, kind: str, start, end, day: datetime.date) -> Bar:
        left, right = (
            min(max(minutes_on(day, self.calendar.wall(at)) - self._left, 0), self.width)
            for at in (start, end)
        )
        return Bar(kind=kind, x=left, width=right - left)


def next_quarter(now: datetime.datetime) -> datetime.datetime:
    """The next quarter hour on any clock: all zones of today stand whole quarters apart."""
    return now + datetime.timedelta(seconds=-now.timestamp() % (15 * 60))
