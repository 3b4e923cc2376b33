"""The book of one day, practitioners across; and of one practitioner's week, days across."""

import datetime
from collections.abc import Iterable
from itertools import groupby

from cases.calendar import Calendar
from cases.grid import Column, Grid
from cases.models import Appointment
from clinic.models import Staff

Free = tuple[datetime.datetime, Staff]


class DayBook(Grid):
    """The calendar's day with each of `people`, and with those who have left but still have bookings."""

    def __init__(self, calendar: Calendar, people: Iterable[Staff], *, now: datetime.datetime):
        self.day = calendar.first
        self.closed_for = calendar.closed.get(self.day, "")
        self.people = with_those_who_left(calendar, people)
        columns = [Column(who=who, day=self.day) for who in self.people]
        super().__init__(calendar, columns, now=now)

    def next_free(self, *, minutes: int) -> Free | None:
        """The first free start of the day and with whom."""
        firsts = (
            (starts[0], str(who), who)
            for who in self.people
            if (starts := self.calendar.free(who, self.day, minutes=minutes, after=self.now))
        )
        first = min(firsts, key=lambda found: found[:2], default=None)
        return (first[0], first[2]) if first else None


class WeekBook(Grid):
    """The calendar's days with `who`, whose alone it is; weekdays without hours and bookings are left out."""

    def __init__(self, calendar: Calendar, who: Staff, *, now: datetime.datetime):
        self.who = who
        self.days = calendar.working_days()
        super().__init__(calendar, [Column(who=who, day=day) for day in self.days], now=now)

    def next_free(self, *, minutes: int) -> Free | None:
        """The first free start of the week."""
        for day in self.days:
            if starts := self.calendar.free(self.who, day, minutes=minutes, after=self.now):
                return starts[0], self.who
        return None


def with_those_who_left(calendar: Calendar, people: Iterable[Staff]) -> list[Staff]:
    """`people`, and whoever is none of them any more but still has bookings."""
    booked = {one.practitioner for one in calendar.appointments if not one.is_cancelled}
    return [*people, *sorted(booked - set(people), key=str)]


def by_practitioner(
    appointments: Iterable[Appointment],
) -> list[tuple[Staff, list[Appointment]]]:
    """The appointments of each practitioner, in the order of their names."""

    def column(one):
        return one.practitioner.last_name, one.practitioner.first_name, one.practitioner_id

    ordered = groupby(sorted(appointments, key=column), key=lambda one: one.practitioner)
    return [(who, list(booked)) for who, booked in ordered]
