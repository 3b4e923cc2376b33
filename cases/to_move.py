"""Bookings that no longer fit the clinic's calendar, and why."""

import datetime
import zoneinfo
from dataclasses import dataclass

from django.utils import timezone

from cases.calendar import Calendar, read_calendar
from cases.fitting import misfits
from cases.forms.finding import DAYS_AFTER
from cases.models import Appointment
from clinic.models import Clinic
from clinic.slots import ONE_DAY


@dataclass(frozen=True)
class ToMove:
    """One booking that must be moved, with what stands against it."""

    booking: Appointment
    reasons: tuple[str, ...]


def to_be_moved(clinic: Clinic, *, now: datetime.datetime) -> list[ToMove]:
    """What is still to come and no longer fits, in the order of time; read in four queries."""
    return to_be_moved_in(clinic, now=now)[0]


def to_be_moved_in(clinic: Clinic, *, now: datetime.datetime) -> tuple[list[ToMove], Calendar]:
    """The same with the calendar that they don't fit, up to the days that one could be moved to."""
    coming = Appointment.objects.of(clinic).coming(after=now).out_of_place()
    bookings = list(coming.with_people().in_order())
    last = timezone.localdate(bookings[-1].ends_at if bookings else now) + DAYS_AFTER * ONE_DAY
    calendar = read_calendar(clinic, first=timezone.localdate(now), last=last, bookings=bookings)
    zone = zoneinfo.ZoneInfo(clinic.time_zone)
    found = []
    for one in bookings:
        start, end = (moment.astimezone(zone) for moment in (one.starts_at, one.ends_at))
        if reasons := tuple(why for _, why in misfits(calendar, one.practitioner, start, end)):
            found.append(ToMove(one, reasons))
    return found, calendar
