"""Whose row it is: a row of another clinic does not exist.

What is about a patient is noted for the trail as it is fetched (`clinic.fetched`).

`lock=True` keeps others from changing the row until the transaction ends; it must run inside one.
"""

from django.db import models
from django.db.models import F
from django.shortcuts import get_object_or_404
from django.utils import timezone

from cases.models import (
    Appointment,
    CalendarKey,
    Case,
    CorrectionRequest,
    DisplayKey,
    ErasureRefusal,
    Import,
    Notice,
    Patient,
    ScreeningAnswer,
    Visit,
)
from cases.models.case import another_open
from cases.models.restriction import restricted
from cases.restricted import may_read
from clinic import fetched
from clinic.models import Absence, ClinicQuerySet, ClosedDay, Staff
from clinic.roles import Capability


def _own(rows: ClinicQuerySet, user: Staff, pk: int, *, lock: bool) -> models.Model:
    rows = rows.of(user.clinic)
    # no_key: rows that only point at this one may still be written meanwhile.
    found = get_object_or_404(
        rows.select_for_update(of=("self",), no_key=True) if lock else rows, pk=pk
    )
    found.clinic = user.clinic  # it is the same, and known already
    return found


def of_record(
    rows: ClinicQuerySet, user: Staff, pk: int, *, patient: str, lock: bool = False
) -> models.Model:
    """A row that is read as part of a record; `patient` leads to whose. Restricted, it asks for a reason."""
    whose = rows.annotate(
        whose=F(patient), is_restricted=restricted(patient, on=timezone.localdate())
    )
    found = _own(whose, user, pk, lock=lock)
    if found.is_restricted:
        may_read(user, found.whose)
    fetched.row_of(found.whose, found)
    return found


def _of_patient(
    rows: ClinicQuerySet, user: Staff, pk: int, *, patient: str, lock: bool
) -> models.Model:
    """A row that names a patient and shows nothing of the record; `patient` leads to whom."""
    found = _own(rows.annotate(whose=F(patient)), user, pk, lock=lock)
    fetched.row_of(found.whose, found)
    return found


def patient_or_404(user: Staff, pk: int, *, lock: bool = False, is_read: bool = True) -> Patient:
    """The patient; a page that shows nothing of the record, but its keeping, says `is_read=False`."""
    if not is_read:
        return _of_patient(Patient.objects.all(), user, pk, patient="pk", lock=lock)
    return of_record(Patient.objects.all(), user, pk, patient="pk", lock=lock)


def appointment_or_404(user: Staff, pk: int, *, lock: bool = False) -> Appointment:
    found = _of_patient(Appointment.objects.with_people(), user, pk, patient="patient", lock=lock)
    found.patient.clinic = user.clinic
    if found.case:
        found.case.patient = found.patient
    return found


def absence_or_404(user: Staff, pk: int, *, lock: bool = False) -> Absence:
    return _own(Absence.objects.select_related("staff"), user, pk, lock=lock)


def staff_or_404(user: Staff, pk: int, *, lock: bool = False) -> Staff:
    """Somebody of the same clinic, also when the account is closed."""
    rows = Staff.objects.ever_of(user.clinic)
    return get_object_or_404(
        rows.select_for_update(of=("self",), no_key=True) if lock else rows, pk=pk
    )


def closed_day_or_404(user: Staff, pk: int, *, lock: bool = False) -> ClosedDay:
    return _own(ClosedDay.objects.all(), user, pk, lock=lock)


def notice_or_404(user: Staff, pk: int, *, lock: bool = False) -> Notice:
    notices = Notice.objects.with_people()
    return _of_patient(notices, user, pk, patient="appointment__patient", lock=lock)


def case_or_404(user: Staff, pk: int, *, lock: bool = False) -> Case:
    cases = Case.objects.with_people().select_related("intake")
    cases = cases.annotate(has_another_open=another_open(""))
    return of_record(cases, user, pk, patient="patient", lock=lock)


def screening_answer_or_404(user: Staff, pk: int, *, lock: bool = False) -> ScreeningAnswer:
    answers = ScreeningAnswer.objects.select_related("screening__case__patient")
    answers = answers.prefetch_related("screening__answers")
    return of_record(answers, user, pk, patient="screening__case__patient", lock=lock)


def visit_or_404(user: Staff, pk: int, *, lock: bool = False) -> Visit:
    visits = Visit.objects.select_related(
        "case__patient", "case__lead", "case__intake", "practitioner"
    )
    visits = visits.annotate(another_open=another_open("case__"))
    visit = of_record(visits, user, pk, patient="case__patient", lock=lock)
    visit.case.has_another_open = visit.another_open
    return visit


def import_or_404(user: Staff, pk: int, *, lock: bool = False) -> Import:
    run = _own(Import.objects.select_related("made_by", "clinic"), user, pk, lock=lock)
    fetched.row_of(None, run)
    return run


def correction_or_404(user: Staff, pk: int, *, lock: bool = False) -> CorrectionRequest:
    requests = CorrectionRequest.objects.with_people()
    return _of_patient(requests, user, pk, patient="patient", lock=lock)


def erasure_refusal_or_404(user: Staff, pk: int) -> ErasureRefusal:
    refusals = ErasureRefusal.objects.select_related("patient", "refused_by")
    return _of_patient(refusals, user, pk, patient="patient", lock=False)


def calendar_key_or_404(user: Staff, pk: int) -> CalendarKey:
    """The person's own calendar address; a manager's, anybody's of the clinic."""
    keys = CalendarKey.objects.valid()
    own = keys if user.may(Capability.MANAGE) else keys.held_by(user)
    return _own(own, user, pk, lock=False)


def display_key_or_404(user: Staff, pk: int, *, lock: bool = False) -> DisplayKey:
    return _own(DisplayKey.objects.valid(), user, pk, lock=lock)
