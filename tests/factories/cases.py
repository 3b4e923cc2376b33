"""Patients, cases, visits and appointments, for tests."""

import datetime

import factory
from django.utils import timezone

from cases.clinical.screening import QUESTIONS
from cases.models import (
    Appointment,
    Case,
    Notice,
    Patient,
    Screening,
    ScreeningAnswer,
    Visit,
)
from clinic.models import Staff
from tests.factories.clinic import create_physiotherapist

OPENED = datetime.date(2026, 3, 2)


class PatientFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Patient

    record_number = factory.Sequence(lambda n: n + 1)
    given_name = "Marit"
    family_name = factory.Sequence(lambda n: f"Oyelaran{n}")
    born = datetime.date(1981, 5, 4)
    sex = "female"
    handedness = "right"
    phone = "+44 1632 960100"
    email = "marit@example.org"


def create_patient(**fields) -> Patient:
    if "clinic" not in fields:
        fields["clinic"] = create_physiotherapist().clinic
    return PatientFactory(**fields)


def create_patient_by_mail(*, by: Staff, **fields) -> Patient:
    """A patient who agreed to e-mail; `by` recorded it."""
    agreed = {"mail_agreed": True, "mail_answered_on": OPENED, "mail_answered_by": by}
    return create_patient(**({"clinic": by.clinic} | agreed | fields))


def create_case(*, lead: Staff | None = None, patient: Patient | None = None, **fields) -> Case:
    """An open case at the right elbow, opened on 2 Mar 2026."""
    lead = lead or create_physiotherapist(**({"clinic": patient.clinic} if patient else {}))
    defaults = {"side": "right", "onset": datetime.date(2026, 1, 10), "opened": OPENED}
    return Case.objects.create(
        lead=lead,
        patient=patient or create_patient(clinic=lead.clinic),
        **(defaults | fields),
    )


def create_visit(*, case: Case | None = None, **fields) -> Visit:
    """A draft visit on the day the case was opened."""
    case = case or create_case()
    return Visit.objects.create(
        case=case, **({"on": case.opened, "practitioner": case.lead} | fields)
    )


def create_signed_visit(*, case: Case | None = None, **fields) -> Visit:
    visit = create_visit(case=case, **fields)
    visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


def create_clear_screening(*, case: Case, **answers: str) -> Screening:
    """A screening with every question answered no, but for `answers`."""
    screening = Screening.objects.create(case=case, on=case.opened, asked_by=case.lead)
    for question in QUESTIONS:
        ScreeningAnswer.objects.create(
            screening=screening,
            question=question.code,
            answer=answers.get(question.code.replace("-", "_"), "no"),
        )
    return screening


def create_appointment(
    *,
    starts_at: datetime.datetime,
    practitioner: Staff | None = None,
    minutes: int = 30,
    **fields,
) -> Appointment:
    practitioner = practitioner or create_physiotherapist()
    if "patient" not in fields:
        fields["patient"] = create_patient(clinic=practitioner.clinic)
    return Appointment.objects.create(
        practitioner=practitioner,
        starts_at=starts_at,
        ends_at=starts_at + datetime.timedelta(minutes=minutes),
        **fields,
    )


def create_notice(*, patient: Patient, starts_at: datetime.datetime, **fields) -> Notice:
    """An e-mail about an appointment that was booked the day before, by the member of staff who recorded the
    patient's answer.
    """
    booked = create_appointment(
        starts_at=starts_at, practitioner=patient.mail_answered_by, patient=patient
    )
    written = starts_at - datetime.timedelta(days=1)
    usual = {"occasion": "booked", "sequence": 0, "written_at": written, "due_at": written}
    return Notice.objects.create(appointment=booked, **(usual | fields))
