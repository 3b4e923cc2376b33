"""A clinic whose book is full: many practitioners, years of appointments, written in bulk."""

import datetime
import random
import zoneinfo
from collections.abc import Iterator
from itertools import chain, count

from cases.models import Appointment, Patient
from clinic.models import Staff
from tests.factories.cases import create_patient
from tests.factories.clinic import create_physiotherapist

BATCH = 5_000
PATIENTS = 400
GIVEN = (
    "Agnes", "Bjarte", "Célia", "Dumisani", "Eirik", "Fumiko", "Gaia", "Hamid", "Ioana", "Jorge",
    "Katarzyna", "Lindiwe", "Maximilian", "Noor", "Oluwaseun", "Pilar", "Quynh", "Rosalind",
    "Suleiman", "Tamsin",
)  # fmt: skip
FAMILY = (
    "Abernathy", "Bakke", "Castellano", "Dlamini", "Eze", "Fairweather", "Grønli", "Haddad",
    "Ibarra", "Jonsson", "Kowalczyk", "Lindqvist-Oduya", "Mbeki", "Nakamura", "Okonkwo",
    "Petrosyan", "Quarles", "Rasmussen", "Santamaría", "Thistlewood",
)  # fmt: skip
# Minutes of the appointments of a day and of the pauses between them, in turn.
LENGTHS, PAUSES = (30, 30, 45, 30, 60, 30), (0, 0, 15, 0, 30, 0, 0, 45)
PAST = ("seen",) * 17 + ("missed", "cancelled", "cancelled")


def practitioners(first: Staff, number: int) -> list[Staff]:
    """`first` and colleagues, `number` in all."""
    names = ((GIVEN[n % 20], FAMILY[(7 * n) % 20]) for n in range(1, number))
    return [first] + [
        create_physiotherapist(clinic=first.clinic, first_name=given, last_name=family)
        for given, family in names
    ]


def patients(first: Staff, number: int = PATIENTS) -> list[Patient]:
    one = create_patient(clinic=first.clinic)
    common = {
        "clinic": first.clinic,
        "born": one.born,
        "sex": one.sex,
        "handedness": one.handedness,
    }
    return Patient.objects.bulk_create(
        Patient(
            record_number=one.record_number + n,
            given_name=GIVEN[n % 20],
            family_name=FAMILY[n // 20],
            **common,
        )
        for n in range(1, number)
    )


def working_days(today: datetime.date) -> Iterator[datetime.date]:
    """The weekdays from Monday to Friday: this week, then four weeks on, then back through the years."""
    monday = today - datetime.timedelta(days=today.weekday())
    around = (monday + datetime.timedelta(days=n) for n in range(35))
    before = (monday - datetime.timedelta(days=n) for n in count(1))
    return (day for day in chain(around, before) if day.weekday() < 5)


def times(
    day: datetime.date, number: int, zone
) -> Iterator[tuple[datetime.datetime, datetime.datetime]]:
    """From when until when the practitioner of that number is booked on a day."""
    at, turn = datetime.datetime.combine(day, datetime.time(8), zone), number
    while at.hour < 17:
        end = at + datetime.timedelta(minutes=LENGTHS[turn % len(LENGTHS)])
        yield at, end
        at = end + datetime.timedelta(minutes=PAUSES[(turn + day.day) % len(PAUSES)])
        turn += 1


def fill(first: Staff, *, people: int, appointments: int, today: datetime.date) -> None:
    """Write that many appointments into the book of the clinic of `first`, this week before all others."""
    staff, known = practitioners(first, people), patients(first)
    zone = zoneinfo.ZoneInfo(first.clinic.time_zone)
    spans, days = [], working_days(today)
    while len(spans) < appointments:
        day = next(days)
        spans += ((who, *span) for n, who in enumerate(staff) for span in times(day, n, zone))
    # The oldest first, as a book is written.
    spans = sorted(spans[:appointments], key=lambda span: span[1])
    for batch in range(0, appointments, BATCH):
        Appointment.objects.bulk_create(_rows(spans[batch : batch + BATCH], known, today))


def _rows(spans, known, today) -> Iterator[Appointment]:
    chance = random.Random(3)
    kinds = ("first", *["follow-up"] * 6, "review")
    for who, start, end in spans:
        yield Appointment(
            clinic=who.clinic,
            patient=chance.choice(known),
            practitioner=who,
            kind=chance.choice(kinds),
            starts_at=start,
            ends_at=end,
            status=chance.choice(PAST) if start.date() < today else "booked",
        )
