"""Eight front desks book, move and cancel in one week of the book at once, each a process of its own."""

import datetime
import itertools
import json
import subprocess
import sys
from collections import Counter

import pytest
from django.db import connection

from cases.models import Appointment
from tests.cases.conftest import at
from tests.factories.cases import create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db(transaction=True)

DESKS = 8
ATTEMPTS = 10_000
PRACTITIONERS = 4
LONGEST_S = 300
DESK = """
import datetime, json, random, sys
import django
from django.conf import settings

django.setup()
database = settings.DATABASES["default"]
database["NAME"] = sys.argv[1]
if "sqlite" in database["ENGINE"]:
    # Eight desks that never pause are no clinic: whoever is unlucky may wait long for the one write lock.
    database["OPTIONS"]["timeout"] = 120

from cases.models import Appointment, SlotTaken

asked = json.loads(sys.argv[2])
chance, monday = random.Random(asked["seed"]), datetime.datetime.fromisoformat(asked["monday"])
own, answers = [], []


def times():
    # A week of eight-hour days; starts on the quarter hour, so most wishes overlap only in part.
    start = monday + datetime.timedelta(
        days=chance.randrange(5), minutes=15 * chance.randrange(32)
    )
    return start, start + datetime.timedelta(minutes=chance.choice([30, 45, 60]))


def attempt():
    if own and chance.random() < 0.1:
        own.pop(chance.randrange(len(own))).cancel(reason="storm")
        return "cancelled"
    moved = bool(own) and chance.random() < 0.2
    booking = chance.choice(own) if moved else Appointment(
        practitioner_id=chance.choice(asked["practitioners"]),
        patient_id=asked["patient"],
        clinic_id=asked["clinic"],
    )
    before = booking.starts_at, booking.ends_at
    booking.starts_at, booking.ends_at = times()
    try:
        booking.keep()
    except SlotTaken:
        booking.starts_at, booking.ends_at = before
        return "taken"
    if not moved:
        own.append(booking)
    return "moved" if moved else "booked"


sys.stdin.readline()
for _number in range(asked["attempts"]):
    try:
        answers.append(attempt())
    except Exception as error:
        answers.append(f"{type(error).__name__}: {error}".splitlines()[0])
live = [[one.pk, one.practitioner_id, one.starts_at.isoformat(), one.ends_at.isoformat()] for one in own]
print(json.dumps({"answers": answers, "live": live}))
"""


@pytest.fixture
def week(physiotherapist):
    clinic = physiotherapist.clinic
    others = [create_physiotherapist(clinic=clinic) for _other in range(PRACTITIONERS - 1)]
    return {
        "practitioners": [one.pk for one in (physiotherapist, *others)],
        "patient": create_patient(clinic=clinic).pk,
        "clinic": clinic.pk,
        "monday": at(9, day=datetime.date(2026, 3, 9)).astimezone(datetime.UTC).isoformat(),
        "attempts": ATTEMPTS // DESKS,
    }


def open_desk(week: dict, seed: int) -> subprocess.Popen:
    return subprocess.Popen(
        [
            sys.executable,
            "-c",
            DESK,
            str(connection.settings_dict["NAME"]),
            json.dumps(week | {"seed": seed}),
        ],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def storm(week: dict) -> tuple[Counter, set[tuple]]:
    """Let all desks go at once; what they were answered, and what each of them believes to be booked."""
    desks = [open_desk(week, seed) for seed in range(DESKS)]
    try:
        for desk in desks:
            desk.stdin.write("go\n")
            desk.stdin.flush()
        reports = [json.loads(desk.communicate(timeout=LONGEST_S)[0]) for desk in desks]
    finally:
        for desk in desks:
            desk.kill()
    answers = Counter(answer for report in reports for answer in report["answers"])
    return answers, {tuple(row) for report in reports for row in report["live"]}


def in_the_book(booking: Appointment) -> tuple:
    times = (booking.starts_at, booking.ends_at)
    return (
        booking.pk,
        booking.practitioner_id,
        *(moment.astimezone(datetime.UTC).isoformat() for moment in times),
    )


def test_of_ten_thousand_attempts_none_overlaps_and_none_is_lost(week, monkeypatch):
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    answers, believed = storm(week)

    assert set(answers) == {"booked", "moved", "cancelled", "taken"}
    assert answers.total() == ATTEMPTS
    assert {in_the_book(one) for one in Appointment.objects.live()} == believed
    assert len(believed) == answers["booked"] - answers["cancelled"]
    assert Appointment.objects.count() == answers["booked"]
    assert overlaps() == []


def overlaps() -> list[tuple[Appointment, Appointment]]:
    """Neighbors in the book of one practitioner that share time; found without the rule under test."""
    live = Appointment.objects.live().order_by("practitioner_id", "starts_at")
    pairs = itertools.pairwise(live)
    return [
        (one, other)
        for one, other in pairs
        if one.practitioner_id == other.practitioner_id and other.starts_at < one.ends_at
    ]
