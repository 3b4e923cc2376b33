"""The clinic's calendar of some days: hours, closed days, absences and bookings, read in four queries."""

import datetime
import zoneinfo
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from cases.models import Appointment
from clinic import slots
from clinic.models import Absence, Clinic, ClosedDay, OpeningHours, Staff
from clinic.slots import ONE_DAY


@dataclass
class Calendar:
    """What is booked, who is away and why the clinic is closed from `first` to `last`, both days included."""

    zone: datetime.tzinfo
    first: datetime.date
    last: datetime.date
    hours: list[slots.Hours]
    closed: dict[datetime.date, str]
    appointments: list[Appointment]
    absences: list[Absence]
    taken: dict[int, list[slots.Span]] = field(init=False)

    def __post_init__(self) -> None:
        self.taken = defaultdict(list)
        for booked in self.appointments:
            if booked.status != Appointment.Status.CANCELLED:
                self.taken[booked.practitioner_id].append(span(booked))
        for absence in self.absences:
            self.taken[absence.staff_id].append(span(absence))

    def stretches(self, day: datetime.date) -> list[slots.Hours]:
        """The opening hours of a day in order; none on a closed day."""
        return [] if day in self.closed else slots.stretches(self.hours, day.weekday())

    def days(self) -> list[datetime.date]:
        return [self.first + n * ONE_DAY for n in range((self.last - self.first).days + 1)]

    def working_days(self) -> list[datetime.date]:
        """The days whose weekday has opening hours, closed or not, and those that somebody is booked on."""
        weekdays = {one.weekday for one in self.hours}
        live = (one for one in self.appointments if not one.is_cancelled)
        booked = {one.starts_at.astimezone(self.zone).date() for one in live}
        return [day for day in self.days() if day.weekday() in weekdays or day in booked]

    def wall(self, moment: datetime.datetime) -> datetime.datetime:
        """The hands of the clinic's clock at a moment."""
        return moment.astimezone(self.zone).replace(tzinfo=None)

    def moment(self, day: datetime.date, clock: datetime.time) -> datetime.datetime | None:
        return slots.moment(day, clock, self.zone)

    def free(
        self, who: Staff, day: datetime.date, *, minutes: int, after: datetime.datetime
    ) -> list[datetime.datetime]:
        """Free starts of one practitioner on one day."""
        return slots.free_slots(
            day=day,
            minutes=minutes,
            hours=self.stretches(day),
            taken=self.taken[who.pk],
            zone=self.zone,
            after=after,
        )

    def absence_in(
        self, who: Staff, start: datetime.datetime, end: datetime.datetime
    ) -> Absence | None:
        wanted = slots.Span(start=start, end=end)
        away = (a for a in self.absences if a.staff_id == who.pk and wanted.overlaps(span(a)))
        return next(away, None)


def monday_of(day: datetime.date) -> datetime.date:
    return day - day.weekday() * ONE_DAY


def span(row: Appointment | Absence) -> slots.Span:
    return slots.Span(start=row.starts_at, end=row.ends_at)


def _from_to(first: datetime.date, last: datetime.date, zone: datetime.tzinfo) -> tuple:
    return slots.midnight(first, zone), slots.midnight(last + ONE_DAY, zone)


def with_bare_times(
    calendar: Calendar, clinic: Clinic, *, first: datetime.date, last: datetime.date
) -> Calendar:
    """Some days of a calendar, with when and whose everything is that is booked on them."""
    start, end = _from_to(first, last, calendar.zone)
    booked = Appointment.objects.of(clinic).overlapping(start, end).live().bare_times()
    return replace(calendar, first=first, last=last, appointments=list(booked))


def read_calendar(
    clinic: Clinic,
    *,
    first: datetime.date,
    last: datetime.date,
    who: Staff | None = None,
    without: Appointment | None = None,
    bookings: Iterable[Appointment] | None = None,
    names: bool = True,
) -> Calendar:
    """Read the calendar from `first` to `last`, with the bookings of everybody, or of `who` alone.

    `without` is an appointment that moves, so not in its way. `bookings` are put into it in place of all
    those of the days. Without `names` it holds when and whose they are, and nothing that a page could show:
    many are read at once to find what is free between them.
    """
    zone = zoneinfo.ZoneInfo(clinic.time_zone)
    start, end = _from_to(first, last, zone)
    if bookings is None:
        booked = Appointment.objects.of(clinic).overlapping(start, end)
        booked = booked.with_practitioner(who) if who else booked
        bookings = booked.with_people().in_order() if names else booked.live().bare_times()
    return Calendar(
        zone=zone,
        first=first,
        last=last,
        hours=[
            slots.Hours(weekday=row.weekday, opens=row.opens, closes=row.closes)
            for row in OpeningHours.objects.of(clinic)
        ],
        closed={row.day: row.name for row in ClosedDay.objects.of(clinic).between(first, last)},
        appointments=[row for row in bookings if without is None or row.pk != without.pk],
        absences=list(Absence.objects.of(clinic).overlapping(start, end).select_related("staff")),
    )
