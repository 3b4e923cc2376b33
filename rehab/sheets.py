"""The sheets that a patient takes home, each set from what is on record, and kept as it is handed out."""

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from cases.models import Case, Patient, Screening
from clinic.audit import record
from clinic.models import Staff
from clinic.wording import Sentence
from rehab.models import Handout, Program, ThresholdChange
from rehab.models.handout import About, patient_of
from rehab.printing import gather, gather_appointments, gather_self_check, gather_summary
from rehab.printing.appointment_card import appointment_card_pdf
from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.home_program import home_program_pdf
from rehab.printing.return_plan import return_plan_pdf
from rehab.printing.self_check import self_check_pdf
from rehab.printing.summary import summary_pdf

Kind = Handout.Kind


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A sheet set in type; the name of its file holds the record number and never the patient's name."""

    kind: Handout.Kind
    about: About
    language: str
    name: str
    data: bytes

    @transaction.atomic(savepoint=False)
    def hand_out(self, *, by: Staff, **detail) -> Handout:
        """Keep the sheet and write into the trail that it was handed out: all or nothing."""
        kept = Handout.objects.keep(
            self.data,
            kind=self.kind,
            about=self.about,
            language=self.language,
            name=self.name,
            by=by,
        )
        verb = "saved" if self.kind.is_page else "printed"
        record(by, verb, self.about, what=self.kind.value, sha=kept.mark, **detail)
        return kept


class Waits(Exception):
    """The sheet is not handed out until somebody has acted; `reasons` are for those who may read them."""

    def __init__(self, reasons: tuple[Sentence, ...]):
        super().__init__(reasons)
        self.reasons = reasons


Setter = Callable[..., Sheet]


def home_program(program: Program, *, now: datetime.datetime) -> Sheet:
    sheet = gather.home_program(
        program, now=now, limits=ThresholdChange.objects.limits(program.clinic_id)
    )
    data = home_program_pdf(sheet, gather.paper_for(program))
    return _of_program(program, Kind.HOME_PROGRAM, "home-program", data)


def diary_page(program: Program, *, now: datetime.datetime) -> Sheet:
    page = gather.diary_page(
        program, now=now, limits=ThresholdChange.objects.limits(program.clinic_id)
    )
    data = diary_page_pdf(page, diary_paper(gather.paper_for(program)))
    return _of_program(program, Kind.DIARY_PAGE, "diary", data)


def return_plan(program: Program, *, now: datetime.datetime) -> Sheet:
    plan = gather.return_plan(
        program, now=now, limits=ThresholdChange.objects.limits(program.clinic_id)
    )
    data = return_plan_pdf(plan, gather.paper_for(program))
    return _of_program(program, Kind.RETURN_PLAN, "return-plan", data)


def self_check(case: Case, *, now: datetime.datetime) -> Sheet:
    """Raises Waits while help elsewhere comes first: then the arm is not tested at home."""
    screening = Screening.objects.latest_of(case)
    if screening and (reasons := screening.must_wait()):
        raise Waits(reasons)
    sheet = gather_self_check.self_check(case, now=now)
    data = self_check_pdf(sheet, gather.paper_of(case.patient))
    name = f"self-check-{case.patient.record}-{timezone.localdate(now):%Y-%m-%d}.pdf"
    return _for_patient(case, Kind.SELF_CHECK, name, data)


def appointment_card(patient: Patient, *, now: datetime.datetime) -> Sheet:
    """The next appointments of all cases: nothing of a case is named."""
    card = gather_appointments.appointment_card(patient, now=now)
    data = appointment_card_pdf(card, gather.paper_of(patient))
    return _for_patient(patient, Kind.APPOINTMENT_CARD, f"appointments-{patient.record}.pdf", data)


def summary(case: Case, *, now: datetime.datetime) -> Sheet:
    """For the patient and their doctor; it tells a clinical record, so it stands in no pack."""
    sheet = gather_summary.summary(case, now=now)
    data = summary_pdf(sheet, gather.paper_of(case.patient))
    name = f"summary-{case.patient.record}-{timezone.localdate(now):%Y-%m-%d}.pdf"
    return _for_patient(case, Kind.SUMMARY, name, data)


# How each is set from what it is about, in the order of a pack. All raise CannotPrint for a sign that the
# type lacks.
SETTERS: dict[Handout.Kind, Setter] = {
    Kind.APPOINTMENT_CARD: appointment_card,
    Kind.HOME_PROGRAM: home_program,
    Kind.RETURN_PLAN: return_plan,
    Kind.DIARY_PAGE: diary_page,
    Kind.SELF_CHECK: self_check,
}


def file_name(program: Program, word: str, *, ending: str = "pdf") -> str:
    return f"{word}-{program.case.patient.record}-v{program.version}.{ending}"


def _of_program(program: Program, kind: Handout.Kind, word: str, data: bytes) -> Sheet:
    return _for_patient(program, kind, file_name(program, word), data)


def _for_patient(about: About, kind: Handout.Kind, name: str, data: bytes) -> Sheet:
    language = patient_of(about).language
    return Sheet(kind=kind, about=about, language=language, name=name, data=data)
