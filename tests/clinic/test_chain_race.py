"""Eight real processes write at once: no entry is lost, the chain has no gap, and nobody deadlocks."""

import json
import subprocess
import sys

import pytest
from django.db import connection

from cases.models import Appointment, Screening
from clinic.chain_check import check
from clinic.models import AuditEvent, Change, Link
from tests.factories.cases import create_case
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db(transaction=True)

WRITERS, WRITES = 8, 25
LONGEST_S = 90
WRITER = """
import datetime, json, sys
import django
from django.conf import settings

django.setup()
settings.DATABASES["default"]["NAME"] = sys.argv[1]

from django.db import transaction
from cases.models import Appointment, Case, Patient, Screening
from clinic.acting import acting
from clinic.audit import record
from clinic.models import Staff

number, writes, case, person = json.loads(sys.argv[2])
person = Staff.objects.get(pk=person)
case = Case.objects.get(pk=case)
first = datetime.datetime(2026, 3, 2 + number, 0, tzinfo=datetime.UTC)


def book(n):
    # What changes the book, then a row that looks at the case.
    start = first + datetime.timedelta(minutes=30 * n)
    Appointment.objects.create(
        practitioner=person, patient_id=case.patient_id, starts_at=start,
        ends_at=start + datetime.timedelta(minutes=30),
    )
    Screening.objects.create(case=case, on=start.date(), asked_by=person)


def work_on_the_case(n):
    # The case is locked against all others, who look at it when they commit.
    Case.objects.select_for_update(of=("self",)).get(pk=case.pk)
    Case.objects.filter(pk=case.pk).update(opened=first.date() + datetime.timedelta(days=n))


print("ready", flush=True)
sys.stdin.readline()
for n in range(writes):
    try:
        with acting(person.pk), transaction.atomic():
            record(person, "wrote", case)
            (book if n % 2 else work_on_the_case)(n)
    except Exception as error:
        print(f"{type(error).__name__}: {error}".splitlines()[0], flush=True)
print("done", flush=True)
"""


def start(number: int, *, case, person) -> subprocess.Popen:
    row = [number, WRITES, case.pk, person.pk]
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(connection.settings_dict["NAME"]), json.dumps(row)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert writer.stdout.readline() == "ready\n"
    return writer


def test_eight_who_write_at_once_leave_one_chain(monkeypatch):
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    case = create_case()
    people = [create_physiotherapist(clinic=case.clinic) for _ in range(WRITERS)]
    before = Link.objects.head(case.clinic).number
    writers = [start(n, case=case, person=person) for n, person in enumerate(people)]
    try:
        for writer in writers:
            writer.stdin.write("go\n")
            writer.stdin.flush()
        answers = [writer.communicate(timeout=LONGEST_S)[0] for writer in writers]
    finally:
        for writer in writers:
            writer.kill()
            writer.wait()

    assert answers == ["done\n"] * WRITERS
    found = check(case.clinic)
    assert found.wrong == ""
    assert found.head.number - before == written()
    assert Change.objects.filter(request="").exclude(actor=None).count() == 0
    for person in people:
        assert (
            Change.objects.filter(actor=person, table_name="cases_appointment").count()
            == WRITES // 2
        )


def written() -> int:
    """How many entries the writers have left: events, bookings, screenings, and changes of the case."""
    case = Change.objects.filter(table_name="cases_case", kind="changed").count()
    assert AuditEvent.objects.count() == WRITERS * WRITES
    assert Appointment.objects.count() == Screening.objects.count() == WRITERS * (WRITES // 2)
    return AuditEvent.objects.count() + 2 * Appointment.objects.count() + case
