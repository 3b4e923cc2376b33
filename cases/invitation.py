"""An appointment as a calendar entry, which a phone or a desk calendar takes over.

RFC 5545 (Desruisseaux, 2009): a calendar needs PRODID and VERSION, an entry in it UID and DTSTAMP.
"""

import datetime
import uuid

from django.utils import timezone, translation
from django.utils.translation import gettext
from icalendar import Calendar, Event

from cases.models import Appointment

PRODUCT = "-//Elbow case tracker//EN"
# Of this project, so that no other program's identifiers meet ours.
SPACE = uuid.UUID("6a1f5a0e-5d5b-5c51-9d0c-1d5f0b8b7a52")


def invitation(appointment: Appointment, *, now: datetime.datetime, place: bool = True) -> bytes:
    """Return the entry in the patient's language, without a clinical word: others may read the calendar.

    Times are in UTC, which every calendar shows in its own zone, through a change to summer time too,
    and which needs no table of the zone's rules. `place=False` leaves the address out. Raises ValueError
    for a time without zone: it would silently mean another hour in another place.
    """
    starts, ends, stamp = map(_utc, (appointment.starts_at, appointment.ends_at, now))
    event = Event.new(
        uid=str(identifier(appointment)),
        stamp=stamp,
        start=starts,
        end=ends,
        summary=_summary(appointment),
        location=_address(appointment) or None if place else None,
        classification="PRIVATE",
    )
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add_component(event)
    calendar.validate()
    return calendar.to_ical()


def short_invitation(appointment: Appointment, *, now: datetime.datetime, octets: int) -> bytes:
    """Return the entry with the address where it fits into so many octets, otherwise without.

    It is for paper, and stamped with the day alone: a sheet that is printed twice that day stays the same.
    """
    day = timezone.localtime(now).replace(hour=0, minute=0, second=0, microsecond=0)
    whole = invitation(appointment, now=day)
    return whole if len(whole) <= octets else invitation(appointment, now=day, place=False)


def identifier(appointment: Appointment) -> uuid.UUID:
    """The same for a booking however often it is moved, so that the calendar moves its entry too."""
    return uuid.uuid5(SPACE, f"{appointment.clinic_id}/{appointment.patient_id}/{appointment.pk}")


def _utc(moment: datetime.datetime) -> datetime.datetime:
    if moment.tzinfo is None:
        raise ValueError("an entry needs times with their zone")
    return moment.astimezone(datetime.UTC)


def _summary(appointment: Appointment) -> str:
    with translation.override(appointment.patient.language):
        return gettext("%(clinic)s: appointment") % {"clinic": appointment.clinic.name}


def _address(appointment: Appointment) -> str:
    """The clinic's address on one line."""
    lines = (line.strip() for line in appointment.clinic.address.splitlines())
    return ", ".join(line for line in lines if line)
