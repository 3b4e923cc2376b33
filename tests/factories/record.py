"""A patient with a row in every table that a record can have."""

import datetime

from django.utils import timezone

from assessments.models import ActivityRating, MeasuredValue
from assessments.models.own import SINGLE
from cases.models import (
    Activity,
    Addendum,
    Case,
    Contact,
    CorrectionRequest,
    ErasureRefusal,
    Hold,
    ImportRow,
    Injection,
    Patient,
    Restriction,
    Visit,
)
from clinic.models import Staff
from rehab.clinical.ladder import Stage
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal
from rehab.models import Decision, Equipment, Program, StageCheck
from tests.browser import at_work
from tests.factories.cases import create_appointment, create_notice, create_patient_by_mail


def create_full_record(*, lead: Staff) -> Patient:
    """Two visits, one signed and added to, a program with a diary, sheets in a pack, e-mail, an import."""
    today = timezone.localdate()
    draft = at_work.a_case_at_its_second_visit(lead, today)
    case, program = draft.case, Program.objects.current_of(draft.case)
    patient = case.patient
    at_work.screen_again(case, today)
    tell(case, lead, on=today)
    decide(draft, program)
    signed = Visit.objects.signed().get(case=case)
    Addendum.objects.create(
        visit=signed, text="Left arm looked at too.", reason="Forgotten.", written_by=lead
    )
    at_work.ready_packs(case, lead, on=today)
    at = timezone.now() + datetime.timedelta(days=2)
    create_appointment(starts_at=at, practitioner=lead, patient=patient, case=case)
    write_to(patient, lead)
    ask(patient, lead, addendum=Addendum.objects.get(visit=signed))
    return patient


def tell(case: Case, lead: Staff, *, on: datetime.date) -> None:
    Injection.objects.create(case=case, given_on=on, substance="corticosteroid")
    Activity.objects.create(case=case, position=1, name="Planing boards")
    Contact.objects.create(case=case, by=lead, outcome="message", note="Left a message.")
    Equipment.objects.create(case=case, weights_kg=[1, 2.5])


def decide(visit: Visit, program: Program) -> None:
    """The answers of a visit that no measure gives, and a decision otherwise than proposed."""
    ActivityRating.objects.create(visit=visit, activity=visit.case.activities.get(), value=4)
    for number in SINGLE.values():
        number.objects.create(visit=visit, value=2)
    MeasuredValue.objects.create(visit=visit, case=visit.case, measure="prtee", value=40)
    StageCheck.objects.create(visit=visit, test_lift_pain=2)
    proposal = Proposal(
        decision=Verdict.MOVE_UP, load_step=LoadStep.KEEP, next_stage=Stage(program.stage + 1)
    )
    Decision.objects.create(
        visit=visit,
        program=program,
        proposed=str(proposal.decision),
        proposed_step=str(proposal.load_step),
        made="stay",
        made_step="keep",
        reason="A regatta this week.",
        proposal=proposal.as_json(),
        decided_by=visit.practitioner,
        decided_at=timezone.now(),
    )


def write_to(patient: Patient, lead: Staff) -> None:
    """The patient was sent an e-mail, and came with a file, which takes the next record numbers."""
    at = timezone.now() + datetime.timedelta(days=3)
    notice = create_notice(patient=create_patient_by_mail(by=lead), starts_at=at)
    notice.appointment.patient = patient
    notice.appointment.save()
    notice.mark_sent(at=timezone.now(), to="kim@example.org", subject="Your visit", body="Hello")
    run = at_work.an_import(lead, ends="done")
    ImportRow.objects.create(
        run=run, line=99, state="brought", patient=patient, own_number="77", name="kim strand"
    )


def ask(patient: Patient, lead: Staff, *, addendum: Addendum) -> None:
    """What the patient has asked of the record, all of it answered."""
    today, now = timezone.localdate(), timezone.now()
    request = CorrectionRequest.objects.create(
        patient=patient, asked_on=today, what="The left arm.", taken_by=lead, due_on=today
    )
    granted = CorrectionRequest.Answer.GRANTED
    request.give(granted, because="Added.", by=lead, at=now, addendum=addendum)
    Hold.objects.create(patient=patient, reason="A claim.", placed_by=lead).lift(by=lead, at=now)
    limit = Restriction.objects.create(
        patient=patient, reason="In dispute.", since=today, placed_by=lead
    )
    limit.lift(by=lead, at=now)
    ErasureRefusal.objects.create(
        patient=patient, asked_on=today, refused_by=lead, kept_until=today, reason="Kept by law."
    )
