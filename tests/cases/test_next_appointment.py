"""When a case comes next, as its page says it."""

import datetime

import pytest

from cases.models import Appointment
from tests.factories.cases import create_appointment, create_case

NOON = datetime.datetime(2026, 3, 12, 12, tzinfo=datetime.UTC)
HOUR = datetime.timedelta(hours=1)


def create_for(case, *, hours, status="booked"):
    return create_appointment(
        case=case,
        patient=case.patient,
        practitioner=case.lead,
        starts_at=NOON + hours * HOUR,
        status=status,
    )


def next_of(case):
    return Appointment.objects.next_of(case, after=NOON)


@pytest.mark.parametrize("status", ["booked", "arrived"])
def test_todays_appointment_is_the_next_one_until_the_patient_was_seen(db, status):
    case = create_case()
    today = create_for(case, hours=-2, status=status)
    create_for(case, hours=48)

    assert next_of(case) == today


@pytest.mark.parametrize("status", ["seen", "missed", "cancelled"])
def test_what_is_over_is_not_the_next_one(db, status):
    case = create_case()
    create_for(case, hours=-2, status=status)
    later = create_for(case, hours=48)

    assert next_of(case) == later


def test_yesterdays_booking_that_nobody_marked_is_not_the_next_one(db):
    case = create_case()
    create_for(case, hours=-24)

    assert next_of(case) is None
