"""Several real processes run the command at once on the same database: each e-mail goes out once."""

import datetime
import os
import subprocess
import sys
import time
import uuid

import pytest
from django.db import connection
from django.utils import timezone

from cases.models import Notice
from cases.sending import send_due
from tests.cases.booking import book
from tests.factories.cases import create_appointment, create_patient_by_mail

pytestmark = pytest.mark.django_db(transaction=True)

PATIENTS = 60
ROUNDS = 3
LONGEST_S = 60
RUNNER = """
import sys
import django
from django.conf import settings

django.setup()
settings.DATABASES["default"]["NAME"] = sys.argv[1]

from django.core.management import call_command

print("ready", flush=True)
for _line in sys.stdin:
    call_command("send_reminders")
    sys.stdout.flush()
"""


@pytest.fixture
def runner(settings, mail_server, monkeypatch):
    """Return a function that starts a process; each line it is sent is one run of the command."""
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    mail = {
        "EMAIL_HOST": "127.0.0.1",
        "EMAIL_PORT": str(settings.EMAIL_PORT),
        "EMAIL_SECURITY": "none",
        "EMAIL_FROM": "mail@clinic.example.org",
    }
    started = []

    def start():
        process = subprocess.Popen(
            [sys.executable, "-c", RUNNER, str(connection.settings_dict["NAME"])],
            env=os.environ | mail,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        started.append(process)
        assert process.stdout.readline() == "ready\n"
        return process

    yield start
    for process in started:
        process.kill()
        process.communicate(timeout=10)


def run(process):
    process.stdin.write("run\n")
    process.stdin.flush()


def sent_by(process) -> int:
    return int(process.stdout.readline().split()[0])


def wait_for(messages: int, mail_server) -> None:
    """Wait until the server has that many messages, of which it answers none meanwhile."""
    until = time.monotonic() + LONGEST_S
    while len(mail_server.messages) < messages:
        assert time.monotonic() < until
        time.sleep(0.02)


def days_ahead(days, *, place):
    start = timezone.now().replace(minute=0, second=0, microsecond=0)
    return start + datetime.timedelta(days=days, hours=place)


@pytest.fixture
def crowd(physiotherapist):
    """Patients who wait for an invitation to three visits, as many whose reminder is due and not written."""
    for place in range(PATIENTS):
        patient, series = create_patient_by_mail(by=physiotherapist), uuid.uuid4()
        for days in (20, 40, 60):
            book(physiotherapist, patient, days_ahead(days, place=place), series=series)
    for place in range(PATIENTS):
        starts = timezone.now() + datetime.timedelta(hours=5, minutes=20 * place)
        patient = create_patient_by_mail(by=physiotherapist)
        create_appointment(
            starts_at=starts, minutes=10, practitioner=physiotherapist, patient=patient
        )


def test_two_that_send_at_once_send_each_e_mail_once(crowd, runner, mail_server):
    processes = [runner(), runner()]
    mail_server.holding = True
    for process in processes:
        run(process)
    wait_for(2, mail_server)  # both are at it
    mail_server.holding = False
    counts = [[sent_by(process) for process in processes]]
    for _ in range(ROUNDS - 1):
        for process in processes:
            run(process)
        counts.append([sent_by(process) for process in processes])

    assert len(mail_server.ids) == len(set(mail_server.ids)) == 2 * PATIENTS
    assert sum(map(sum, counts)) == 2 * PATIENTS
    assert set(Notice.objects.values_list("status", flat=True)) == {"sent"}
    assert Notice.objects.count() == 4 * PATIENTS


def test_a_process_that_is_killed_while_sending_leads_to_no_second_e_mail(
    physiotherapist, runner, mail_server
):
    for place in range(2):
        patient = create_patient_by_mail(by=physiotherapist)
        book(physiotherapist, patient, days_ahead(20, place=place))
    mail_server.holding, process = True, runner()
    run(process)
    wait_for(1, mail_server)
    process.kill()
    process.wait(timeout=10)
    mail_server.holding = False

    at_once, later = timezone.now(), timezone.now() + datetime.timedelta(minutes=31)
    first, second = send_due(clock=lambda: at_once), send_due(clock=lambda: later)

    assert (first.sent, first.failed, second.sent, second.failed) == (1, 0, 0, 1)
    assert len(mail_server.ids) == len(set(mail_server.ids)) == 2
    assert sorted(Notice.objects.values_list("status", "why")) == [
        ("failed", "interrupted"),
        ("sent", ""),
    ]
