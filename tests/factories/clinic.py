"""Clinics and their staff, for tests."""

import datetime

import factory
from django.utils import timezone

from clinic.models import Clinic, Invitation, OpeningHours, Staff
from clinic.roles import Role

TIME_ZONE = "Europe/London"
PASSWORD = "a quiet harbor morning"


class ClinicFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Clinic

    name = factory.Sequence(lambda n: f"Quayside Clinic {n}")
    address = "1 Harbor Road"
    phone = "+44 1632 960001"
    email = "desk@example.org"
    emergency_phone = "112"
    time_zone = TIME_ZONE


class StaffFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Staff

    clinic = factory.SubFactory(ClinicFactory)
    username = factory.Sequence(lambda n: f"person{n}")
    first_name = "Ida"
    last_name = factory.Sequence(lambda n: f"Solvang{n}")
    email = factory.LazyAttribute(lambda staff: f"{staff.username}@example.org")
    password = factory.django.Password(PASSWORD)
    role = Role.PHYSIOTHERAPIST.value


def create_clinic(*, open_hours: bool = True, **fields) -> Clinic:
    """A clinic; open every day from 08:00 to 18:00 unless told otherwise."""
    clinic = ClinicFactory(**fields)
    if open_hours:
        for weekday in range(7):
            OpeningHours.objects.create(
                clinic=clinic,
                weekday=weekday,
                opens=datetime.time(8),
                closes=datetime.time(18),
            )
    return clinic


def create_physiotherapist(*, clinic: Clinic | None = None, **fields) -> Staff:
    number = fields.pop("registration_number", "PH-1001")
    return StaffFactory(
        clinic=clinic or create_clinic(), treats=True, registration_number=number, **fields
    )


def create_front_desk(*, clinic: Clinic | None = None, **fields) -> Staff:
    return StaffFactory(clinic=clinic or create_clinic(), role=Role.FRONT_DESK.value, **fields)


def create_manager(*, clinic: Clinic | None = None, **fields) -> Staff:
    return StaffFactory(clinic=clinic or create_clinic(), role=Role.MANAGER.value, **fields)


def create_invitation(*, by: Staff, now: datetime.datetime | None = None, **fields) -> Invitation:
    """Somebody invited to the front desk; `renew()` gives a secret that is known."""
    told = {"first_name": "Nora", "last_name": "Strand", "role": Role.FRONT_DESK.value} | fields
    invitation = Invitation(clinic=by.clinic, invited_by=by, **told)
    invitation.renew(now=now or timezone.now())
    return invitation
