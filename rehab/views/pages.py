"""The patient's sheets as pages: to read and hear on the site, and as one file to send."""

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from cases.models import Patient
from clinic.access import allow
from clinic.roles import Capability
from rehab.access import program_or_404
from rehab.models import Handout, Program, ThresholdChange
from rehab.pages.home_program import home_program_page
from rehab.pages.page import Page
from rehab.pages.summary import summary_page
from rehab.printing import gather, gather_summary
from rehab.sheets import file_name
from rehab.views.prints import hand_out


@require_safe
@allow(Capability.PRINT)
def home_program(request: HttpRequest, pk: int) -> HttpResponse:
    program = program_or_404(request.user, pk)
    if request.user.may_read_clinical:
        back = reverse("rehab:case", args=[program.case_id])
    else:
        back = reverse("rehab:papers", args=[program.case.patient_id])
    links = {
        "back": back,
        "file": reverse("rehab:home_program_file", args=[pk]),
        "pdf": reverse("rehab:home_program", args=[pk]),
        "entry": reverse("rehab:next_visit_entry", args=[pk]),
    }
    return HttpResponse(_home_program(request, program).to_read(**links))


@require_safe
@allow(Capability.PRINT)
def home_program_file(request: HttpRequest, pk: int) -> HttpResponse:
    program = program_or_404(request.user, pk)
    data = _home_program(request, program).to_send()
    name = file_name(program, "home-program", ending="html")
    return hand_out(request, data, Handout.Kind.HOME_PROGRAM_PAGE, about=program, name=name)


@require_safe
@allow(Capability.PRINT)
def next_visit_entry(request: HttpRequest, pk: int) -> HttpResponse:
    """The next visit for the patient's calendar."""
    program = program_or_404(request.user, pk)
    visit = gather.next_visit(program.case, now=timezone.now())
    if visit is None:
        raise Http404("nothing is booked")
    return HttpResponse(
        visit.entry,
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="appointment.ics"'},
    )


@require_safe
@allow(Capability.READ_CLINICAL)
def summary(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk)
    links = {
        "back": reverse("rehab:case", args=[pk]),
        "file": reverse("rehab:summary_file", args=[pk]),
        "pdf": reverse("rehab:summary", args=[pk]),
    }
    sheet = gather_summary.summary(case, now=timezone.now())
    return HttpResponse(summary_page(sheet, large=_large(case.patient)).to_read(**links))


@require_safe
@allow(Capability.READ_CLINICAL)
def summary_file(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk)
    sheet = gather_summary.summary(case, now=timezone.now())
    data = summary_page(sheet, large=_large(case.patient)).to_send()
    name = f"summary-{case.patient.record}-{sheet.on:%Y-%m-%d}.html"
    kind, language = Handout.Kind.SUMMARY_PAGE, sheet.language
    return hand_out(request, data, kind, about=case, name=name, language=language)


def _home_program(request: HttpRequest, program: Program) -> Page:
    limits = ThresholdChange.objects.limits(request.user.clinic)
    sheet = gather.home_program(program, now=timezone.now(), limits=limits)
    return home_program_page(sheet, large=_large(program.case.patient))


def _large(patient: Patient) -> bool:
    return patient.print_size == patient.PrintSize.LARGE
