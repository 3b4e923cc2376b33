"""Issued programs in the database, for the tests of gathering and of the views."""

import datetime

from django.utils import timezone

from rehab.models import Program, ProgramExercise
from tests.factories.cases import create_case

ISSUED = datetime.datetime(2026, 3, 11, 9, 0, tzinfo=datetime.UTC)
# A hold of stage 1 and a lift of stage 2, in the order of the list.
ROWS = (
    {"card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.2, "days_per_week": 7},
    {"card": "fist-hold", "sets": 5, "hold_s": 20, "days_per_week": 7, "remark": "Use the sponge."},
)


def create_draft(*, case=None, rows=ROWS, **fields) -> Program:
    usual = {
        "version": 2,
        "stage": 2,
        "stage_since": datetime.date(2026, 3, 2),
        "load_since": datetime.date(2026, 3, 2),
        "policy": "standard",
        "edition": "2026-03-01",
        "remark": "Go easy on the winch.",
    }
    program = Program.objects.create(case=case or create_case(), **(usual | fields))
    for position, row in enumerate(rows, start=1):
        ProgramExercise.objects.create(program=program, position=position, **row)
    return program


def create_issued(*, case=None, at=None, **fields) -> Program:
    program = create_draft(case=case, **fields)
    program.issue(by=program.case.lead, at=at or timezone.now())
    return Program.objects.with_exercises().get(pk=program.pk)
