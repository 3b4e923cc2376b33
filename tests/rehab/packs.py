"""A day with patients to print for, and what the tests of packs ask of it."""

import datetime

from django.urls import reverse

from clinic.models import Staff
from rehab.models import Pack, PackRun
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.rehab import create_issued

DAY = datetime.date(2026, 3, 12)
PAGE = f"/packs/?day={DAY}"
USUAL = ["appointment card", "home program", "return plan", "diary page"]


def at(hour: int, minute: int = 0, *, day: datetime.date = DAY) -> datetime.datetime:
    """A time of the day that the tests print for; the test clinic keeps London's."""
    return datetime.datetime(day.year, day.month, day.day, hour, minute, tzinfo=datetime.UTC)


def a_patient_of(lead: Staff, *, hour: int, program: bool = True, **fields):
    """Somebody booked on the day, with a case and, but for `program=False`, an issued program."""
    patient = create_patient(clinic=lead.clinic, **fields)
    case = create_case(lead=lead, patient=patient)
    create_appointment(starts_at=at(hour), practitioner=lead, patient=patient, case=case)
    if program:
        create_issued(case=case)
    return patient


def ticks(*patients, sheets=USUAL, self_check=(), two_sided="on") -> dict:
    return {
        "sheets": sheets,
        "patients": [patient.pk for patient in patients],
        "self_check": [patient.pk for patient in self_check],
        "two_sided": two_sided,
    }


def ask_for(client, *patients, **how) -> PackRun:
    """Tick these patients, press the button, and return the run that comes of it."""
    answer = client.post(PAGE, ticks(*patients, **how))
    run = PackRun.objects.latest("pk")
    assert answer.url == reverse("rehab:pack_run", args=[run.pk])
    return run


def step(client, run: PackRun, **headers):
    return client.post(reverse("rehab:pack_step", args=[run.pk]), **headers)


def make_ready(client, run: PackRun) -> None:
    while not run.is_ready:
        step(client, run)


def sheets_in(pack: Pack) -> list[str]:
    return [handout.kind for handout in pack.in_print_order]
