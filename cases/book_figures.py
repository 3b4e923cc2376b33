"""How the book is kept: what was booked, seen, missed and cancelled, and what is still free."""

import datetime
import zoneinfo
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields

from django.db.models import Count, F, Q, QuerySet
from django.db.models.functions import TruncWeek

from cases.calendar import Calendar, monday_of, read_calendar
from cases.models import Appointment
from clinic import slots
from clinic.models import Clinic, Staff
from clinic.slots import ONE_DAY

WEEK = datetime.timedelta(days=7)
# The usual notice that clinics ask for: common practice, no source.
NOTICE = datetime.timedelta(hours=24)
LATE = Q(status=Appointment.Status.CANCELLED, cancelled_at__gt=F("starts_at") - NOTICE)
COUNTED = {
    "booked": Count("pk"),
    **{
        status.value: Count("pk", filter=Q(status=status))
        for status in Appointment.Status
        if status != Appointment.Status.BOOKED
    },
    "late": Count("pk", filter=LATE),
}


@dataclass(kw_only=True)
class Kept:
    """What became of the appointments of one week, or of one practitioner."""

    booked: int = 0
    arrived: int = 0
    seen: int = 0
    missed: int = 0
    cancelled: int = 0
    late: int = 0

    def __add__(self, other: "Kept") -> "Kept":
        names = [one.name for one in fields(Kept)]
        return Kept(**{name: getattr(self, name) + getattr(other, name) for name in names})

    @property
    def unmarked(self) -> int:
        """Those that nobody has said the end of: still booked, or in the waiting room."""
        return self.booked - self.seen - self.missed - self.cancelled

    @property
    def missed_percent(self) -> int | None:
        """Of those that were seen or missed, how many were missed; None where there is none of either."""
        over = self.seen + self.missed
        return round(100 * self.missed / over) if over else None


@dataclass(kw_only=True)
class Past:
    """Weeks that are over, newest first, and the same by practitioner."""

    weeks: dict[datetime.date, Kept]
    people: dict[Staff, Kept] = field(default_factory=dict)

    @property
    def total(self) -> Kept:
        return sum(self.weeks.values(), Kept())


@dataclass(kw_only=True)
class Free:
    """Bookable time in each of the weeks to come, by practitioner."""

    weeks: list[datetime.date]
    people: dict[Staff, list[datetime.timedelta]] = field(default_factory=dict)

    @property
    def by_week(self) -> list[datetime.timedelta]:
        none = datetime.timedelta()
        return [sum(column, none) for column in zip(*self.people.values(), strict=True)]


def past(
    clinic: Clinic, people: Sequence[Staff], *, today: datetime.date, weeks: int, who: Staff | None
) -> Past:
    """What became of the appointments of the last whole weeks and of this one until today."""
    zone = zoneinfo.ZoneInfo(clinic.time_zone)
    mondays = [monday_of(today) - number * WEEK for number in range(weeks + 1)]
    found = Past(weeks={day: Kept() for day in mondays})
    by_person = {one.pk: Kept() for one in people}
    start, end = (slots.midnight(day, zone) for day in (mondays[-1], today + ONE_DAY))
    for row in _counted(clinic, who, start, end, zone):
        week, practitioner = row.pop("week").date(), row.pop("practitioner")
        kept = Kept(**row)
        found.weeks[week] += kept
        if practitioner in by_person:
            by_person[practitioner] += kept
    found.people = {one: by_person[one.pk] for one in people if by_person[one.pk].booked}
    return found


def _counted(clinic, who, start, end, zone) -> QuerySet:
    rows = Appointment.objects.of(clinic).between(start, end)
    if who:
        rows = rows.with_practitioner(who)
    week = TruncWeek("starts_at", tzinfo=zone)
    return rows.values("practitioner", week=week).annotate(**COUNTED).order_by()


def free(
    clinic: Clinic, people: Iterable[Staff], *, now: datetime.datetime, weeks: int = 4
) -> Free:
    """The time that can still be booked, from now to the end of the last of so many weeks."""
    first = monday_of(now.astimezone(zoneinfo.ZoneInfo(clinic.time_zone)).date())
    calendar = read_calendar(clinic, first=first, last=first + weeks * WEEK - ONE_DAY, names=False)
    mondays = [first + number * WEEK for number in range(weeks)]
    open_by_week = [list(_open(calendar, day, now=now)) for day in mondays]
    return Free(
        weeks=mondays,
        people={
            who: [slots.unbooked(week, calendar.taken[who.pk]) for week in open_by_week]
            for who in people
        },
    )


def _open(
    calendar: Calendar, first: datetime.date, *, now: datetime.datetime
) -> Iterator[slots.Span]:
    """The opening hours of seven days as spans, without what is over."""
    for day in (first + number * ONE_DAY for number in range(7)):
        for one in slots.open_spans(day, calendar.stretches(day), calendar.zone):
            if one.end > now:
                yield slots.Span(start=max(one.start, now), end=one.end)
