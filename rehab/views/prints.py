"""The patient's paper and the record of a visit as PDF; each sheet is kept as it is handed out."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone, translation
from django.utils.http import content_disposition_header
from django.utils.text import get_valid_filename
from django.views.decorators.http import require_safe

from assessments.course import course_of
from cases.access import case_or_404, patient_or_404, visit_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab import sheets
from rehab.access import program_or_404
from rehab.models import Handout
from rehab.models.handout import About, patient_of
from rehab.printing import gather_course, gather_visit
from rehab.printing.course_sheet import course_pdf
from rehab.printing.visit_record import visit_record_pdf
from rehab.sheets import Sheet
from rehab.whole_course import WholeCourse


@require_safe
@allow(Capability.PRINT)
def home_program(request: HttpRequest, pk: int) -> HttpResponse:
    return print_for_patient(request, sheets.home_program, program_or_404(request.user, pk))


@require_safe
@allow(Capability.PRINT)
def diary_page(request: HttpRequest, pk: int) -> HttpResponse:
    return print_for_patient(request, sheets.diary_page, program_or_404(request.user, pk))


@require_safe
@allow(Capability.PRINT)
def return_plan(request: HttpRequest, pk: int) -> HttpResponse:
    program = program_or_404(request.user, pk)
    if not program.return_steps:
        raise Http404("no return plan")
    return print_for_patient(request, sheets.return_plan, program)


@require_safe
@allow(Capability.PRINT)
def appointment_card(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk)
    return print_for_patient(request, sheets.appointment_card, patient)


@require_safe
@allow(Capability.READ_CLINICAL)
def visit_record(request, pk):
    """One visit on paper; a draft says on each page that it is one."""
    visit = visit_or_404(request.user, pk)
    data = visit_record_pdf(gather_visit.visit_record(visit, now=timezone.now()))
    name = f"visit-{visit.case.patient.record}-{visit.on:%Y-%m-%d}.pdf"
    return hand_out(request, data, Handout.Kind.VISIT_RECORD, about=visit, name=name)


@require_safe
@allow(Capability.READ_CLINICAL)
def course(request, pk):
    """All measures of a case on paper."""
    case = case_or_404(request.user, pk)
    whole = WholeCourse.of_case(case, course_of(case))
    now = timezone.now()
    data = course_pdf(gather_course.course_sheet(case, whole, now=now))
    name = f"course-{case.patient.record}-{timezone.localdate(now):%Y-%m-%d}.pdf"
    return hand_out(request, data, Handout.Kind.COURSE, about=case, name=name)


@require_safe
@allow(Capability.READ_CLINICAL)
def summary(request: HttpRequest, pk: int) -> HttpResponse:
    """A closed case has one too: it goes to the doctor at discharge."""
    return print_for_patient(request, sheets.summary, case_or_404(request.user, pk))


def hand_out(
    request: HttpRequest,
    data: bytes,
    kind: Handout.Kind,
    *,
    about: About,
    name: str,
    language: str = "",
) -> HttpResponse:
    """Keep a sheet, write into the trail that it was handed out, and answer with it.

    Without a `language`, what the front desk may print is in the patient's, any other in that of the page.
    """
    for_patient = kind.needs is Capability.PRINT
    usual = patient_of(about).language if for_patient else translation.get_language()
    sheet = Sheet(kind=kind, about=about, language=language or usual, name=name, data=data)
    return _handed_out(request, sheet)


def print_for_patient(request: HttpRequest, setter: sheets.Setter, about: About) -> HttpResponse:
    return _handed_out(request, setter(about, now=timezone.now()))


def _handed_out(request: HttpRequest, sheet: Sheet) -> HttpResponse:
    sheet.hand_out(by=request.user)
    return as_file(sheet.data, sheet.kind, sheet.name)


def as_file(data: bytes, kind: Handout.Kind, name: str) -> HttpResponse:
    """Answer with the sheet; its file name says the record number and never the patient's name.

    A page is saved, never shown from here: its style stands in it, which the site's own policy forbids.
    """
    content = "text/html" if kind.is_page else "application/pdf"
    disposition = content_disposition_header(kind.is_page, get_valid_filename(name))
    return HttpResponse(data, content_type=content, headers={"Content-Disposition": disposition})
