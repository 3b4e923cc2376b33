"""Appointments as the desk keeps them, and what is written for their patients."""

import datetime

from cases.models import Appointment, Notice
from tests.cases.conftest import at

FRIDAY = datetime.date(2026, 3, 13)
DAY = datetime.timedelta(days=1)


def book(practitioner, patient, starts=None, **how):
    starts = starts or at(9, day=FRIDAY)
    ends = starts + datetime.timedelta(minutes=30)
    booked = Appointment(practitioner=practitioner, patient=patient, starts_at=starts, ends_at=ends)
    booked.keep(**how)
    return booked


def move(booked, by=DAY):
    booked.starts_at, booked.ends_at = booked.starts_at + by, booked.ends_at + by
    booked.keep()


def written():
    rows = Notice.objects.order_by("pk")
    return [(row.occasion, row.sequence, row.status, row.why) for row in rows]
