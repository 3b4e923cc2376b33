"""What the database itself refuses about programs, decisions and stage checks, past every form."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from assessments.course import course_of
from rehab.clinical.progression import propose
from rehab.inputs import arm_today
from rehab.models import Decision, DiaryDay, Program, ProgramExercise, StageCheck
from tests.factories.rehab import create_draft, create_issued
from tests.sealed import changed, refused, sql

PROGRAM_WRITES = {
    "save": lambda p: changed(p, stage=5),
    "queryset": lambda p: lambda: Program.objects.update(stage=5),
    "delete": lambda p: lambda: Program.objects.filter(pk=p.pk)._raw_delete("default"),
    "raw update": lambda p: sql("UPDATE rehab_program SET stage = 5 WHERE id = %s", p.pk),
    "raw delete": lambda p: sql("DELETE FROM rehab_program WHERE id = %s", p.pk),
}


@pytest.mark.parametrize("way", PROGRAM_WRITES)
def test_an_issued_program_stays(program, way):
    assert refused(PROGRAM_WRITES[way](program), by="program_issued_stays")
    assert Program.objects.get().stage == 2


def test_an_issued_program_may_end_once(program):
    now = timezone.now()
    program.end(at=now)

    assert refused(changed(program, ended_at=None), by="program_ended_stays")
    assert Program.objects.get().ended_at == now


EXERCISE_WRITES = {
    "save": lambda e: changed(e, sets=9),
    "queryset": lambda e: lambda: ProgramExercise.objects.update(sets=9),
    "delete": lambda e: e.delete,
    "raw update": lambda e: sql("UPDATE rehab_programexercise SET sets = 9"),
    "raw delete": lambda e: sql("DELETE FROM rehab_programexercise"),
    "add": lambda e: lambda: e.program.add("turn-palm"),
    "move": lambda e: changed(e, program=create_draft()),
}


@pytest.mark.parametrize("way", EXERCISE_WRITES)
def test_the_exercises_of_an_issued_program_stay(program, way):
    assert refused(EXERCISE_WRITES[way](program.main), by="program_exercise_issued_stays")
    assert [e.sets for e in Program.objects.get(pk=program.pk).exercises.all()] == [3, 5]


@pytest.fixture
def decision(visit, program, diary):
    proposal = propose(arm_today(visit, program, course_of(visit.case, visit=visit)))
    return Decision.make(
        visit,
        program,
        proposal,
        made=str(proposal.decision),
        made_step=str(proposal.load_step),
        reason="",
        by=visit.practitioner,
        at=timezone.now(),
    )


DECISION_WRITES = {
    "save": lambda d: changed(d, made="stop and review", reason="Other."),
    "queryset": lambda d: lambda: Decision.objects.update(reason="Other."),
    "delete": lambda d: d.delete,
    "raw update": lambda d: sql("UPDATE rehab_decision SET reason = %s", "Other."),
    "raw delete": lambda d: sql("DELETE FROM rehab_decision"),
}


@pytest.mark.parametrize("way", DECISION_WRITES)
def test_a_decision_stays(decision, way):
    assert refused(DECISION_WRITES[way](decision), by="decision_stays")
    assert Decision.objects.get().reason == ""


def test_deciding_otherwise_without_a_reason_is_refused(decision, case, program):
    row = Decision.objects.get()
    row.pk, row.made = None, "stop and review"

    assert refused(row.save, by="decision_otherwise_has_reason")


def test_a_visit_has_one_decision(decision):
    again = Decision.objects.get()
    again.pk = None

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        again.save(force_insert=True)

    assert Decision.objects.count() == 1


CHECK_WRITES = {
    "save": lambda c: changed(c, test_lift_pain=0),
    "queryset": lambda c: lambda: StageCheck.objects.update(test_lift_pain=0),
    "delete": lambda c: c.delete,
    "raw update": lambda c: sql("UPDATE rehab_stagecheck SET test_lift_pain = 0"),
}


@pytest.mark.parametrize("way", CHECK_WRITES)
def test_the_stage_check_of_a_signed_visit_stays(visit, way):
    check = StageCheck.objects.create(visit=visit, test_lift_pain=4)
    visit.sign(by=visit.practitioner, at=timezone.now())

    assert refused(CHECK_WRITES[way](check), by="stage_check_of_signed_visit_stays")
    assert StageCheck.objects.get().test_lift_pain == 4


def test_a_case_has_one_current_program(program):
    second = create_draft(case=program.case, version=2)

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        Program.objects.filter(pk=second.pk).update(
            issued_at=timezone.now(), issued_by=program.case.lead
        )

    assert Program.objects.current_of(program.case) == program


def test_a_case_has_one_draft(case):
    create_draft(case=case, version=1)

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        create_draft(case=case, version=2)

    assert Program.objects.drafts().count() == 1


def test_a_version_is_given_once(program):
    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        create_draft(case=program.case, version=1)

    assert Program.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"worst_pain": 11}, "diary_worst_pain_0_to_10"),
        ({"next_morning_pain": -1}, "diary_morning_pain_0_to_10"),
        ({"night_wakings": 21}, "diary_wakings_0_to_20"),
        ({"sets_done": 21}, "diary_sets_0_to_20"),
    ],
)
def test_a_diary_day_keeps_to_its_scales(diary, change, rule):
    assert refused(changed(diary[0], **change), by=rule)


def test_a_day_is_written_down_once(diary, program):
    first = diary[0]

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        DiaryDay.objects.create(case=first.case, program=program, on=first.on, sets_done=1)

    assert DiaryDay.objects.count() == len(diary)


def test_a_program_of_another_case_is_not_ended_by_issuing(program):
    create_issued(version=1, at=timezone.now() - datetime.timedelta(days=1))

    assert Program.objects.issued().not_ended().count() == 2
