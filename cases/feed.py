"""A practitioner's appointments for their own calendar app: initials and kind, nothing else.

RFC 5545 (Desruisseaux, 2009) for the calendar, RFC 7986 (Daboo, 2016) for its name and how often to ask.
There is no METHOD: nobody is invited, the calendar is only read.
"""

import datetime
import hashlib
from collections.abc import Iterable

from django.utils.translation import gettext
from icalendar import Calendar, Event, Timezone, vText

from cases.invitation import PRODUCT, identifier
from cases.models import Appointment, Patient
from clinic.models import Staff

BEFORE = datetime.timedelta(days=30)
AHEAD = datetime.timedelta(days=366)
ASK_AGAIN = datetime.timedelta(minutes=30)


def appointments_of(staff: Staff, *, now: datetime.datetime) -> list[Appointment]:
    """What stands in the book for the practitioner, from a month ago to a year ahead."""
    booked = Appointment.objects.of(staff.clinic).with_practitioner(staff).live()
    return list(booked.between(now - BEFORE, now + AHEAD).with_people().in_order())


def version(appointments: Iterable[Appointment]) -> str:
    """A mark that is the same as long as the feed would say the same."""
    rows = (
        f"{one.pk} {one.starts_at.timestamp()} {one.ends_at.timestamp()} {_summary(one)}"
        for one in appointments
    )
    return hashlib.sha256("\n".join(rows).encode()).hexdigest()[:32]


def feed(staff: Staff, appointments: Iterable[Appointment], *, now: datetime.datetime) -> bytes:
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    # A text (RFC 7986, 5.1), which icalendar doesn't know: it would leave a comma or a line's end as it is.
    calendar.add("name", vText(gettext("Appointments of %(who)s") % {"who": staff}))
    calendar.add("refresh-interval", ASK_AGAIN, parameters={"VALUE": "DURATION"})
    for one in appointments:
        calendar.add_component(_event(one, now=now))
    if not calendar.subcomponents:
        # A calendar needs a component, and somebody who is booked with nobody has no entry.
        calendar.add_component(Timezone.from_tzid("UTC"))
    calendar.validate()
    return calendar.to_ical()


def initials(patient: Patient) -> str:
    """The first letter of each part of the name."""
    return " ".join(f"{part[0]}." for part in str(patient).split())


def _summary(one: Appointment) -> str:
    return f"{initials(one.patient)}, {one.get_kind_display()}"


def _event(one: Appointment, *, now: datetime.datetime) -> Event:
    return Event.new(
        uid=str(identifier(one)),
        stamp=now.astimezone(datetime.UTC),
        start=one.starts_at.astimezone(datetime.UTC),
        end=one.ends_at.astimezone(datetime.UTC),
        summary=_summary(one),
        classification="PRIVATE",
    )
