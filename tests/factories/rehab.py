"""Programs, diaries and the stories they need, for tests."""

import datetime

from django.utils import timezone

from rehab.models import DiaryDay, OwnCard, Program, ProgramExercise
from tests.factories.cases import create_case

ISSUED = datetime.datetime(2026, 3, 11, 9, 0, tzinfo=datetime.UTC)
# A lift of stage 2 and a hold of stage 1, in the order of the list.
ROWS = (
    {"card": "lift-and-lower", "sets": 3, "repetitions": 15, "load_kg": 1.2, "days_per_week": 7},
    {"card": "fist-hold", "sets": 5, "hold_s": 20, "days_per_week": 7, "remark": "Use the sponge."},
)


def create_draft(*, case=None, rows=ROWS, **fields) -> Program:
    """A draft of version 2 in stage 2, whose main exercise is lifted with 1.2 kg."""
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
    program.settle()
    program.issue(by=program.case.lead, at=at or timezone.now())
    return Program.objects.with_exercises().get(pk=program.pk)


def create_diary(*, program: Program, days: int, first=None, **cells) -> list[DiaryDay]:
    """Days in a row from the day of issue, each settled with 17 repetitions in the last set."""
    first = first or timezone.localdate(program.issued_at)
    usual = {
        "sets_done": program.main.sets,
        "last_set_repetitions": 17,
        "load_kg": program.load_kg,
        "worst_pain": 2,
        "next_morning_pain": 1,
        "night_wakings": 0,
    }
    return [
        DiaryDay.objects.create(
            case=program.case,
            program=program,
            on=first + datetime.timedelta(days=number),
            **(usual | cells),
        )
        for number in range(days)
    ]


def create_own_card(*, clinic, code: str | None = None, **fields) -> OwnCard:
    """An exercise that the clinic has written itself, for stages 2 and 3; with `code` its next edition."""
    usual = {
        "name": "Rope pull",
        "start": "Stand with your elbow bent. Hold the rope with your palm up.",
        "steps": ["Pull the rope slowly toward you.", "Let it go back slowly."],
        "usual_mistake": "The shoulder lifts.",
        "caution": "Stop if your hand tingles.",
        "equipment": "A rope and a pulley",
        "structures": "Elbow flexors",
        "stages": [2, 3],
        "dose": {"sets": 2, "repetitions": 12, "up_s": 2, "down_s": 3, "days_per_week": 3},
        "gate": "Row done in full",
        "source": "none",
    }
    card = OwnCard(**(usual | fields))
    card.write(clinic, code=code)
    return card
