"""The self-check sheet of a case as PDF."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from cases.models import Case, Screening
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.wording import Sentence
from rehab.models import Handout
from rehab.printing import gather, gather_self_check
from rehab.printing.fonts import CannotPrint
from rehab.printing.self_check import self_check_pdf
from rehab.views.prints import hand_out, refused


@require_safe
@allow(Capability.PRINT)
def self_check(request: HttpRequest, pk: int) -> HttpResponse:
    """A closed case has nothing left to check; one that needs help elsewhere first is not tested at home."""
    case = case_or_404(request.user, pk)
    if not case.is_open:
        raise Http404("the case is closed")
    screening = Screening.objects.latest_of(case)
    if screening and (reasons := screening.must_wait()):
        return waiting(request, case, reasons)
    sheet = gather_self_check.self_check(case, now=timezone.now())
    try:
        data = self_check_pdf(sheet, gather.paper_of(case.patient))
    except CannotPrint as refusal:
        return refused(request, refusal)
    name = f"self-check-{case.patient.record}-{sheet.on:%Y-%m-%d}.pdf"
    return hand_out(request, data, Handout.Kind.SELF_CHECK, about=case, name=name)


def waiting(request: HttpRequest, case: Case, reasons: tuple[Sentence, ...]) -> HttpResponse:
    """Say that the sheet waits; the reasons are for those who may read them."""
    record(request.user, "refused", case, what=Handout.Kind.SELF_CHECK.value)
    context = {"case": case, "reasons": reasons if request.user.may_read_clinical else ()}
    return render(request, "rehab/self_check_waits.html", context, status=409)
