"""A program's versions: since when its stage and load hold, and under which pain policy."""

import datetime

import pytest

from rehab.clinical.stages import Policy, Stage
from rehab.models import Program
from tests.factories.rehab import create_draft


def next_draft(case, stage=Stage.LIGHT_ISOTONIC, policy=Policy.STANDARD):
    return Program.draft(case, stage=stage, policy=policy, on=datetime.date(2026, 4, 1))


def issue(draft, case, at):
    draft.settle()
    draft.issue(by=case.lead, at=at)
    return Program.objects.current_of(case)


@pytest.fixture
def now(program):
    return program.issued_at + datetime.timedelta(days=14)


def test_a_draft_of_the_same_stage_takes_over_exercises_doses_and_remark(case, program):
    draft = next_draft(case)

    assert [(e.card, e.dose) for e in draft.exercises.all()] == [
        (e.card, e.dose) for e in program.exercises.all()
    ]
    assert (draft.version, draft.load_kg, draft.remark) == (2, 1.2, program.remark)


def test_a_draft_of_another_stage_begins_with_the_stages_first_choice(case, program):
    draft = next_draft(case, stage=Stage.SLOW_RESISTANCE)

    cards = [exercise.card for exercise in draft.exercises.all()]
    assert cards == ["straight-arm-lift", "turn-palm", "thumb-up-lift", "row"]


def test_a_second_draft_replaces_the_first(case, program):
    next_draft(case)

    next_draft(case, stage=Stage.SLOW_RESISTANCE)

    assert list(Program.objects.drafts().values_list("version", "stage")) == [(2, 3)]


def test_stage_and_load_count_on_while_neither_changes(case, program, now):
    after = issue(next_draft(case), case, now)

    assert (after.stage_since, after.load_since) == (program.stage_since, program.load_since)


def test_another_load_counts_from_the_day_of_issue(case, program, now):
    draft = next_draft(case)
    draft.set_main_load(1.3)

    after = issue(draft, case, now)

    assert (after.stage_since, after.load_since) == (program.stage_since, now.date())
    assert (after.start_load_kg, after.load_kg) == (1.2, 1.3)


def test_a_load_that_was_changed_and_changed_back_counts_on(case, program, now):
    draft = next_draft(case)
    draft.set_main_load(1.3)
    draft.settle()
    draft.set_main_load(1.2)

    assert issue(draft, case, now).load_since == program.load_since


@pytest.mark.parametrize("change", [{"hold_s": 30}, {"repetitions": 12}, {"sets": 4}])
def test_another_hold_or_repetition_maximum_is_another_load(case, program, now, change):
    draft = next_draft(case)
    draft.exercises.filter(position=1).update(**change)

    assert issue(draft, case, now).load_since == now.date()


def test_another_stage_begins_anew(case, program, now):
    draft = next_draft(case, stage=Stage.SLOW_RESISTANCE)
    draft.set_main_load(0.8)

    after = issue(draft, case, now)

    assert (after.stage_since, after.load_since) == (now.date(), now.date())
    assert after.start_load_kg == 0.8


def test_another_main_exercise_begins_its_load_anew(case, program, now):
    draft = next_draft(case)
    draft.exercises.filter(position=1).update(card="lower-slowly", load_kg=2)

    assert issue(draft, case, now).start_load_kg == 2


@pytest.mark.parametrize(
    ("before", "policy", "after", "irritable", "expected"),
    [
        (1, Policy.STRICT, 1, False, Policy.STRICT),
        (1, Policy.STANDARD, 1, True, Policy.STANDARD),
        (1, Policy.STRICT, 2, False, Policy.STANDARD),
        (1, Policy.STRICT, 2, True, Policy.STRICT),
        (2, Policy.STRICT, 3, False, Policy.STANDARD),
        (2, Policy.STRICT, 2, False, Policy.STRICT),
        (2, Policy.STANDARD, 1, False, Policy.STRICT),
        (3, Policy.STANDARD, 2, False, Policy.STANDARD),
    ],
)
def test_the_pain_policy_follows_stage_and_irritability(before, policy, after, irritable, expected):
    program = Program(stage=before, policy=policy.value)

    assert Program.policy_for(Stage(after), before=program, irritable=irritable) is expected


def test_issuing_ends_the_program_before(case, program, now):
    after = issue(next_draft(case), case, now)

    assert [(p.version, p.ended_at) for p in Program.objects.of_case(case)] == [
        (2, None),
        (1, now),
    ]
    assert after.issued_by == case.lead


@pytest.mark.django_db
def test_a_draft_without_an_exercise_has_no_load():
    draft = create_draft(rows=())

    draft.settle()

    assert (draft.main, draft.load_kg, draft.start_load_kg) == (None, None, None)
