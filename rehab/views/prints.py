"""The patient's paper as PDF."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from rehab.access import program_or_404
from rehab.models import Program
from rehab.printing import gather
from rehab.printing.diary_page import diary_page_pdf, diary_paper
from rehab.printing.fonts import CannotPrint
from rehab.printing.home_program import home_program_pdf


@require_safe
@allow(Capability.PRINT)
def home_program(request, pk):
    program = program_or_404(request.user, pk)
    sheet = gather.home_program(program, now=timezone.now())
    try:
        data = home_program_pdf(sheet, gather.paper_for(program))
    except CannotPrint as refusal:
        return _refused(request, refusal)
    record(request.user, "printed", program, what="home program")
    return _pdf(data, "home-program", program)


@require_safe
@allow(Capability.PRINT)
def diary_page(request, pk):
    program = program_or_404(request.user, pk)
    page = gather.diary_page(program, now=timezone.now())
    try:
        data = diary_page_pdf(page, diary_paper(gather.paper_for(program)))
    except CannotPrint as refusal:
        return _refused(request, refusal)
    record(request.user, "printed", program, what="diary page")
    return _pdf(data, "diary", program)


def _pdf(data: bytes, kind: str, program: Program) -> HttpResponse:
    """Answer with the sheet; its file name says the record number and never the patient's name."""
    name = f"{kind}-{program.case.patient.record}-v{program.version}.pdf"
    disposition = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(data, content_type="application/pdf", headers=disposition)


def _refused(request, refusal: CannotPrint) -> HttpResponse:
    return render(request, "rehab/cannot_print.html", {"refusal": str(refusal)}, status=422)
