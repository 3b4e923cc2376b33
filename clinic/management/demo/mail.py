"""The demo's e-mail: who agreed to it, what was sent, who was not reached."""

import datetime

from django.utils import timezone

from cases.delivery import Failure, Why
from cases.mail import letter_of
from cases.mail_words import Occasion
from cases.models import Appointment, Notice, Patient
from cases.reminders import write_reminders
from clinic.models import Clinic, Staff

AGREED = (
    "Dapple", "Marchbanks", "Minamoda", "Buenaventura Ríos", "Ockley", "Larkspur", "Åkerblad", "Delamar",
    "Langenaar", "Rookhope", "Quillane", "Fontanel",
)  # fmt: skip
REFUSED, DEFERRED, TAKEN_BACK = "Fontanel", "Marchbanks", "Langenaar"
SENT_BEFORE = datetime.timedelta(days=6)
NO_MAILBOX = Failure(why=Why.ADDRESS, again=False, answer="550 5.1.1 No such mailbox here")
TRY_LATER = Failure(why=Why.LATER, again=True, answer="451 4.3.0 Please try again later")


def write_mail(clinic: Clinic, *, by: Staff, now: datetime.datetime) -> None:
    """Ask some patients, invite them to what is booked, and write the reminders that are due."""
    for patient in Patient.objects.of(clinic).filter(family_name__in=AGREED):
        _agree(patient, by=by)
    booked = Appointment.objects.of(clinic).coming(after=now).filter(patient__mail_agreed=True)
    for appointment in booked.with_people().select_related("clinic"):
        _invite(appointment, at=now - SENT_BEFORE)
    write_reminders(now=now)
    for notice in Notice.objects.of(clinic).waiting().whose_patient_is_named(DEFERRED):
        for hours in (3, 2):
            notice.mark_failed(TRY_LATER, at=now - datetime.timedelta(hours=hours))
    for patient in Patient.objects.of(clinic).filter(family_name=TAKEN_BACK):
        patient.mail_agreed = False
        patient.answer_about_mail(by=by, on=timezone.localdate(now))
        patient.save()
        Notice.objects.answered_again(patient)


def _agree(patient: Patient, *, by: Staff) -> None:
    patient.mail_agreed = True
    patient.answer_about_mail(by=by, on=timezone.localdate(patient.registered_at))
    patient.save()


def _invite(appointment: Appointment, *, at: datetime.datetime) -> None:
    at = max(at, appointment.patient.registered_at)
    notice = Notice.objects.create(
        appointment=appointment, occasion=Occasion.BOOKED, sequence=0, written_at=at, due_at=at
    )
    if appointment.patient.family_name == REFUSED:
        notice.mark_failed(NO_MAILBOX, at=at)
        appointment.patient.refuse_mail(at=at)
        return
    letter = letter_of(notice)
    to = appointment.patient.email
    notice.mark_sent(at=at, to=to, subject=letter.subject, body=letter.body)
