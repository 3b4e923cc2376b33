"""The return plan: chosen in stage 5, carried along, moved by decisions, printed for the patient."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from assessments.course import course_of
from clinic.evidence import Status
from clinic.models import AuditEvent
from rehab.clinical.ladder import Policy, Stage
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal, propose
from rehab.inputs import arm_today
from rehab.models import Handout, Program, StageCheck
from tests.factories.cases import create_case, create_patient
from tests.factories.clinic import create_front_desk
from tests.factories.rehab import create_draft, create_issued
from tests.pages import typed
from tests.rehab.printing.sheets import text_of

LIFTING = {"return_plan": "lifting", "job_load_kg": 20.0}


def returning(case, **fields) -> Program:
    at = timezone.now() - datetime.timedelta(days=14)
    return create_issued(case=case, at=at, **({"version": 1, "stage": 5} | fields))


def stay(step: int | None) -> Proposal:
    return Proposal(
        decision=Verdict.STAY,
        load_step=LoadStep.ADD,
        next_stage=Stage.RETURN_TO_ACTIVITY,
        next_return_step=step,
    )


def next_draft(case) -> Program:
    return Program.draft(
        case, stage=Stage.RETURN_TO_ACTIVITY, policy=Policy.STANDARD, on=timezone.localdate()
    )


def criterion(visit, program):
    proposal = propose(arm_today(visit, program, course_of(visit.case, visit=visit)))
    return next(row for row in proposal.criteria if row.words.text == "Return plan done")


@pytest.mark.parametrize(
    ("fields", "asked", "status"),
    [
        ({}, 21, Status.PUBLISHED),
        ({"return_plan": "racket"}, 21, Status.PUBLISHED),
        (LIFTING, 10, Status.CONVENTION),
    ],
)
def test_the_steps_that_are_asked_follow_the_plan(case, visit, fields, asked, status):
    program = returning(case, **fields)
    StageCheck.objects.create(visit=visit, return_steps_done=asked - 1)

    row = criterion(visit, program)

    assert arm_today(visit, program, course_of(case, visit=visit)).return_steps_asked == asked
    assert (row.held, row.distance.as_json()["values"], row.figure.status) == (
        False, {"steps": 1}, status,
    )  # fmt: skip


def test_a_decided_step_is_written_into_the_draft(case, program):
    before = returning(create_case(lead=case.lead), return_plan="racket", return_step=6)
    draft = next_draft(before.case)

    draft.take_step(stay(7))

    draft.refresh_from_db()
    assert (draft.return_plan, draft.return_step) == ("racket", 7)


def test_without_a_decided_step_the_plan_is_carried_along_as_it_was(case):
    returning(case, **LIFTING, return_step=4)
    draft = next_draft(case)

    draft.take_step(stay(None))

    draft.refresh_from_db()
    assert (draft.return_plan, draft.job_load_kg, draft.return_step) == ("lifting", 20, 4)


def test_a_stage_below_has_no_return_plan(case):
    returning(case, return_plan="racket", return_step=6)

    draft = Program.draft(
        case, stage=Stage.HEAVY_AND_FAST, policy=Policy.STANDARD, on=timezone.localdate()
    )

    assert (draft.return_plan, draft.return_step, draft.return_steps) == ("", None, ())


@pytest.mark.parametrize("job_kg", [None, 0.9, 101])
def test_lifting_without_a_load_of_the_job_is_not_stored(case, job_kg):
    with pytest.raises(IntegrityError), transaction.atomic():
        create_draft(case=case, stage=5, return_plan="lifting", job_load_kg=job_kg)


def page(case) -> str:
    return reverse("rehab:program", args=[case.pk])


def saved(browser, case, **fields):
    """The draft's page, saved with these fields."""
    shown = browser.get(page(case))
    doses = shown.context["doses"]
    rows = {
        field.html_name: "" if field.value() is None else field.value()
        for form in (doses.management_form, *doses)
        for field in form
        if field.html_name.split("-")[-1] != "DELETE"
    }
    return browser.post(page(case), typed(shown, fields) | rows | {"save": "1"})


def test_the_plan_is_chosen_on_the_page_of_the_program(browser, case):
    draft = create_draft(case=case, version=1, stage=5)

    saved(browser, case, return_plan="lifting", job_load_kg="22.7", return_step="2")

    draft.refresh_from_db()
    assert (draft.return_plan, draft.job_load_kg, draft.return_step) == ("lifting", 22.7, 2)


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        (
            {"return_plan": "lifting"},
            "job_load_kg",
            "Enter the heaviest load of the job, 1 to 100 kg.",
        ),
        (
            {"return_plan": "lifting", "job_load_kg": "400"},
            "job_load_kg",
            "Enter the heaviest load of the job, 1 to 100 kg.",
        ),
        (
            {"return_plan": "racket", "return_step": "22"},
            "return_step",
            "Enter a step from 1 to 21.",
        ),
        (
            {"return_plan": "racket", "return_step": "0"},
            "return_step",
            "Enter a step from 1 to 21.",
        ),
        (
            {"return_plan": "lifting", "job_load_kg": "20", "return_step": "11"},
            "return_step",
            "Enter a step from 1 to 10.",
        ),
        ({"return_step": "3"}, "return_step", "Choose a plan first."),
    ],
)
def test_a_plan_of_nonsense_is_refused_in_words(browser, case, fields, field, sentence):
    draft = create_draft(case=case, version=1, stage=5)

    answer = saved(browser, case, **fields)

    draft.refresh_from_db()
    assert (answer.status_code, draft.return_plan) == (422, "")
    assert answer.context["form"].errors[field] == [sentence]


def test_before_stage_5_the_page_asks_for_no_return_plan(browser, case):
    create_draft(case=case, version=1, stage=4)

    assert "return_plan" not in browser.get(page(case)).context["form"].fields


@pytest.fixture
def planned(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    case = create_case(lead=physiotherapist, patient=patient)
    return create_issued(case=case, stage=5, return_plan="racket", return_step=7)


def sheet(program) -> str:
    return reverse("rehab:return_plan_pdf", args=[program.pk])


def test_the_plan_is_printed_and_the_trail_has_it(signed_in, front_desk, planned):
    answer = signed_in(front_desk).get(sheet(planned))

    event = AuditEvent.objects.get(verb="printed")
    assert answer["Content-Disposition"] == 'inline; filename="return-plan-0217-v2.pdf"'
    assert (event.actor, event.object_id, event.detail) == (
        front_desk, planned.pk, {"what": "return plan", "sha": Handout.objects.get().mark},
    )  # fmt: skip
    assert "7 next 18 10 60 %" in text_of(answer.content)


def test_a_plan_that_was_just_chosen_begins_at_its_first_step(
    signed_in, front_desk, physiotherapist
):
    case = create_case(lead=physiotherapist)
    program = create_issued(case=case, stage=5, **LIFTING)

    text = text_of(signed_in(front_desk).get(sheet(program)).content)

    assert "Your next step is number 1." in text
    assert "your job asks for up to 20 kg" in text


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_print_it(request, signed_in, planned, role):
    assert signed_in(request.getfixturevalue(role)).get(sheet(planned)).status_code == 200


def test_without_a_plan_or_of_another_clinic_there_is_no_sheet(signed_in, front_desk, planned):
    plain = create_issued(case=create_case(lead=planned.case.lead), stage=5)

    assert signed_in(front_desk).get(sheet(plain)).status_code == 404
    assert signed_in(create_front_desk()).get(sheet(planned)).status_code == 404
    assert signed_in(front_desk).post(sheet(planned)).status_code == 405


def test_a_name_that_can_not_be_printed_is_refused_in_words(signed_in, front_desk, planned):
    patient = planned.case.patient
    patient.family_name = "王"
    patient.save()

    answer = signed_in(front_desk).get(sheet(planned))

    assert answer.status_code == 422
    assert "“Marit 王” can&#x27;t be printed" in answer.content.decode()


def test_the_case_page_and_the_front_desk_offer_it_only_with_a_plan(browser, planned):
    papers = reverse("rehab:papers", args=[planned.case.patient_id])
    pages = (reverse("rehab:case", args=[planned.case_id]), papers)

    assert [sheet(planned) in browser.get(url).content.decode() for url in pages] == [True, True]
    Program.objects.current_of(planned.case).end(at=timezone.now())
    other = create_issued(case=planned.case, stage=5, version=3)
    assert [sheet(other) in browser.get(url).content.decode() for url in pages] == [False, False]
