"""From the appointment book to what the appointment card says."""

import datetime

from cases.models import Patient

from .appointment_card import MOST_APPOINTMENTS, AppointmentCard
from .gather import about, booked_visit


def appointment_card(patient: Patient, *, now: datetime.datetime) -> AppointmentCard:
    """The patient's next appointments of all cases; the first comes with its entry for the calendar."""
    coming = patient.appointments.coming(after=now).with_people().in_order()
    found = list(coming[: MOST_APPOINTMENTS + 1])
    shown = found[:MOST_APPOINTMENTS]
    return AppointmentCard(
        **about(patient.clinic, patient, now=now),
        appointments=tuple(booked_visit(one, now=now, with_entry=one is shown[0]) for one in shown),
        more=len(found) > MOST_APPOINTMENTS,
    )
