"""Two front desks book the same times at the same moment, as two real processes on the same database."""

import datetime
import json
import subprocess
import sys

import pytest
from django.db import connection

from cases.models import Appointment
from tests.cases.conftest import at
from tests.factories.cases import create_patient

pytestmark = pytest.mark.django_db(transaction=True)

SLOTS = 200
DESK = """
import datetime, json, sys
import django
from django.conf import settings

django.setup()
settings.DATABASES["default"]["NAME"] = sys.argv[1]

from cases.models import Appointment, SlotTaken

practitioner, patient, clinic, shift, first = json.loads(sys.argv[2])
first = datetime.datetime.fromisoformat(first)
print("ready", flush=True)
for line in sys.stdin:
    # Every other slot is wanted ten minutes later by the second desk: the two overlap in part.
    number = int(line)
    start = first + datetime.timedelta(hours=number, minutes=shift * (number % 2))
    booking = Appointment(
        practitioner_id=practitioner, patient_id=patient, clinic_id=clinic,
        starts_at=start, ends_at=start + datetime.timedelta(minutes=30),
    )
    try:
        booking.keep()
        print("kept", flush=True)
    except SlotTaken:
        print("taken", flush=True)
    except Exception as error:
        print(f"{type(error).__name__}: {error}".splitlines()[0], flush=True)
"""


def open_desk(patient, practitioner, shift):
    row = [
        practitioner.pk,
        patient.pk,
        patient.clinic_id,
        shift,
        at(9).astimezone(datetime.UTC).isoformat(),
    ]
    desk = subprocess.Popen(
        [sys.executable, "-c", DESK, str(connection.settings_dict["NAME"]), json.dumps(row)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert desk.stdout.readline() == "ready\n"
    return desk


def race(desks, number):
    """Let all desks try slot `number` at once; returns their answers in order of the alphabet."""
    for desk in desks:
        desk.stdin.write(f"{number}\n")
        desk.stdin.flush()
    return sorted(desk.stdout.readline().strip() for desk in desks)


def test_of_two_who_book_the_same_time_at_once_exactly_one_gets_it(physiotherapist, monkeypatch):
    patient = create_patient(clinic=physiotherapist.clinic)
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    desks = [open_desk(patient, physiotherapist, shift) for shift in (0, 10)]

    try:
        answers = [race(desks, number) for number in range(SLOTS)]
    finally:
        for desk in desks:
            desk.communicate(timeout=10)

    assert [answer for answer in answers if answer != ["kept", "taken"]] == []
    assert Appointment.objects.count() == SLOTS
