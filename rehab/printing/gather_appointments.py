"""From the appointment book to what the appointment card says."""

import datetime

from django.utils import timezone

from cases.invitation import short_invitation
from cases.models import Appointment, Patient

from .appointment_card import MOST_APPOINTMENTS, AppointmentCard
from .gather import contact
from .home_program import NextVisit
from .scan_code import MOST_OCTETS


def appointment_card(patient: Patient, *, now: datetime.datetime) -> AppointmentCard:
    """The patient's next appointments of all cases; the first comes with its entry for the calendar."""
    coming = patient.appointments.coming(after=now).with_people().in_order()
    found = list(coming[: MOST_APPOINTMENTS + 1])
    shown = found[:MOST_APPOINTMENTS]
    entries = [short_invitation(first, now=now, octets=MOST_OCTETS) for first in shown[:1]]
    entries += [b""] * (len(shown) - 1)
    return AppointmentCard(
        clinic=contact(patient.clinic),
        patient=str(patient),
        record=patient.record,
        language=patient.language,
        on=timezone.localdate(now),
        appointments=tuple(map(_visit, shown, entries)),
        more=len(found) > MOST_APPOINTMENTS,
    )


def _visit(booked: Appointment, entry: bytes) -> NextVisit:
    starts = timezone.localtime(booked.starts_at)
    return NextVisit(
        on=starts.date(), at=starts.time(), practitioner=str(booked.practitioner), entry=entry
    )
