"""The clinic of the demo: its staff, its hours, who is away."""

import datetime
import zoneinfo

from django.contrib.auth.hashers import make_password

from clinic.models import Absence, Clinic, ClosedDay, Invitation, OpeningHours, Staff
from clinic.roles import Role
from clinic.slots import midnight

ZONE = zoneinfo.ZoneInfo("Europe/London")
PASSWORD = "quiet harbor morning"  # noqa: S105 # nosec B105 # of invented accounts in the demo's own database

# Sign-in name, given and family name, role, registration number (of those who treat).
STAFF = (
    ("ines",  "Inês",  "Quartel",   Role.PHYSIOTHERAPIST, "PH-2041"),
    ("bram",  "Bram",  "Oosterlaan", Role.PHYSIOTHERAPIST, "PH-2187"),
    ("sunni", "Sunni", "Haraldvik", Role.PHYSIOTHERAPIST, "PH-2302"),
    ("ruth",  "Ruth",  "Penhallick", Role.MANAGER, "PH-1014"),
    ("otto",  "Otto",  "Brinkle",   Role.FRONT_DESK, ""),
    ("maeve", "Maeve", "Tolliver",  Role.FRONT_DESK, ""),
)  # fmt: skip

WEEKDAY = ((datetime.time(8), datetime.time(12, 30)), (datetime.time(13, 15), datetime.time(18)))
WEEKEND = ((datetime.time(9), datetime.time(14)),)


def create_clinic() -> Clinic:
    clinic = Clinic.objects.create(
        name="Ropewalk Quay Physiotherapy",
        address="3 Ropewalk Quay\nSaltmere",
        phone="+44 1632 960100",
        email="desk@ropewalk.example.org",
        emergency_phone="999",
        time_zone=ZONE.key,
    )
    for weekday in range(7):
        for opens, closes in WEEKEND if weekday > 4 else WEEKDAY:
            OpeningHours.objects.create(clinic=clinic, weekday=weekday, opens=opens, closes=closes)
    return clinic


def create_staff(clinic: Clinic) -> dict[str, Staff]:
    """The accounts by sign-in name; all have the same password, which is hashed once: hashing is slow."""
    password = make_password(PASSWORD)
    return {
        name: Staff.objects.create(
            username=name,
            email=f"{name}@ropewalk.example.org",
            password=password,
            clinic=clinic,
            first_name=given,
            last_name=family,
            role=role.value,
            treats=bool(number),
            registration_number=number,
        )
        for name, given, family, role, number in STAFF
    }


def invite(by: Staff, *, now: datetime.datetime) -> None:
    """Somebody who starts next month; the link went out yesterday and has not been opened."""
    invited = Invitation(
        clinic=by.clinic,
        invited_by=by,
        first_name="Leif",
        last_name="Anstruther",
        email="leif@ropewalk.example.org",
        role=Role.PHYSIOTHERAPIST.value,
        treats=True,
    )
    invited.renew(now=now - datetime.timedelta(days=1))


def create_absence(staff: Staff, *, today: datetime.date) -> Absence:
    """Two days away, the week after next, so that the book has a gap to book around."""
    first = today + datetime.timedelta(days=10)
    start = midnight(first, ZONE)
    return Absence.objects.create(
        staff=staff,
        starts_at=start,
        ends_at=start + datetime.timedelta(days=2),
        reason="course",
    )


def create_closed_days(clinic: Clinic, *, today: datetime.date) -> None:
    """Two days to come, after the last booking of any story, for the next ones to go around."""
    for days, name in ((16, "Regatta day"), (37, "Outing of the staff")):
        day = today + datetime.timedelta(days=days)
        ClosedDay.objects.create(clinic=clinic, day=day, name=name)
