"""An appointment as a calendar entry, which a phone or a desk calendar takes over.

RFC 5545 (Desruisseaux, 2009): a calendar needs PRODID and VERSION, an entry in it UID and DTSTAMP.
RFC 5546 (Daboo, 2009): an entry that is sent to somebody also says with METHOD what to do with it, and names
ORGANIZER and ATTENDEE (3.2.2 REQUEST, 3.2.5 CANCEL). The entries of one REQUEST are all of one UID, so
several appointments in one file are a PUBLISH (3.2.1), which names no ATTENDEE.
"""

import datetime
import uuid
from collections.abc import Sequence
from urllib.parse import quote

from django.utils import timezone, translation
from django.utils.translation import gettext
from icalendar import Calendar, Event, vCalAddress

from cases.models import Appointment

# Calendars keep it with the entry, so it says nothing of what the clinic treats.
PRODUCT = "-//Clinic appointments//EN"
# Of this project, so that no other program's identifiers meet ours.
SPACE = uuid.UUID("6a1f5a0e-5d5b-5c51-9d0c-1d5f0b8b7a52")


def invitation(appointment: Appointment, *, now: datetime.datetime, place: bool = True) -> bytes:
    """Return the entry in the patient's language, without a clinical word: others may read the calendar.

    Times are in UTC, which every calendar shows in its own zone, through a change to summer time too,
    and which needs no table of the zone's rules. `place=False` leaves the address out. Raises ValueError
    for a time without zone: it would silently mean another hour in another place.
    """
    return _calendar(_event(appointment, now=now, place=place))


def short_invitation(appointment: Appointment, *, now: datetime.datetime, octets: int) -> bytes:
    """Return the entry with the address where it fits into so many octets, otherwise without.

    It is for paper, and stamped with the day alone: a sheet that is printed twice that day stays the same.
    """
    day = timezone.localtime(now).replace(hour=0, minute=0, second=0, microsecond=0)
    whole = invitation(appointment, now=day)
    return whole if len(whole) <= octets else invitation(appointment, now=day, place=False)


def method_of(appointment: Appointment) -> str:
    """REQUEST puts the entry in a calendar or moves it there, CANCEL takes it out."""
    return "CANCEL" if appointment.is_cancelled else "REQUEST"


def sent_invitation(
    appointment: Appointment, *, now: datetime.datetime, sender: str, to: str
) -> bytes:
    """Return the entry as it is sent from the address `sender` to the patient's address `to`.

    The patient has agreed to the time already, so the calendar asks for no answer (RSVP, PARTSTAT): one that
    says no would reach nobody, and the patient would think that the appointment is cancelled.
    """
    event = _event(appointment, now=now)
    event.organizer = _organizer(appointment, sender)
    event.attendees = [vCalAddress.new(_mailto(to), partstat="ACCEPTED", rsvp=False)]
    event.status = "CANCELLED" if appointment.is_cancelled else "CONFIRMED"
    return _calendar(event, method=method_of(appointment))


def sent_series(
    appointments: Sequence[Appointment], *, now: datetime.datetime, sender: str
) -> bytes:
    """Return the entries of several appointments in one file, each with the identifier that it keeps.

    One of them that changes later is sent alone: the calendar knows it by its identifier and revision.
    """
    events = [_event(one, now=now) for one in appointments]
    for one, event in zip(appointments, events, strict=True):
        event.organizer, event.status = _organizer(one, sender), "CONFIRMED"
    return _calendar(*events, method="PUBLISH")


def identifier(appointment: Appointment) -> uuid.UUID:
    """The same for a booking however often it is moved, so that the calendar moves its entry too."""
    return uuid.uuid5(SPACE, f"{appointment.clinic_id}/{appointment.patient_id}/{appointment.pk}")


def _event(appointment: Appointment, *, now: datetime.datetime, place: bool = True) -> Event:
    starts, ends, stamp = map(_utc, (appointment.starts_at, appointment.ends_at, now))
    return Event.new(
        uid=str(identifier(appointment)),
        stamp=stamp,
        start=starts,
        end=ends,
        # Left out it means 0 (RFC 5545, 3.8.7.4), and a code to scan has few octets.
        sequence=appointment.sequence or None,
        summary=_summary(appointment),
        location=place_of(appointment) or None if place else None,
        classification="PRIVATE",
    )


def _calendar(*events: Event, method: str = "") -> bytes:
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    if method:
        calendar.add("method", method)
    for event in events:
        calendar.add_component(event)
    calendar.validate()
    return calendar.to_ical()


def _organizer(appointment: Appointment, sender: str) -> vCalAddress:
    """The clinic at its own address; SENT-BY says so where another address sends for it."""
    clinic = appointment.clinic
    own = clinic.email or sender
    behind = None if own == sender else _mailto(sender)
    return vCalAddress.new(_mailto(own), cn=clinic.name, sent_by=behind)


def _mailto(address: str) -> str:
    """RFC 6068: ? and % mean something else in such an address."""
    return "mailto:" + quote(address, safe="@!$&'*+-./=^_`{|}~")


def _utc(moment: datetime.datetime) -> datetime.datetime:
    if moment.tzinfo is None:
        raise ValueError("an entry needs times with their zone")
    return moment.astimezone(datetime.UTC)


def _summary(appointment: Appointment) -> str:
    with translation.override(appointment.patient.language):
        return gettext("%(clinic)s: appointment") % {"clinic": appointment.clinic.name}


def place_of(appointment: Appointment) -> str:
    """The clinic's address on one line."""
    lines = (line.strip() for line in appointment.clinic.address.splitlines())
    return ", ".join(line for line in lines if line)
