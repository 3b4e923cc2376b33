"""The self-check sheet of a case as PDF."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab.models import Handout
from rehab.printing import gather, gather_self_check
from rehab.printing.fonts import CannotPrint
from rehab.printing.self_check import self_check_pdf
from rehab.views.prints import hand_out, refused


@require_safe
@allow(Capability.PRINT)
def self_check(request: HttpRequest, pk: int) -> HttpResponse:
    """A closed case has nothing left to check."""
    case = case_or_404(request.user, pk)
    if not case.is_open:
        raise Http404("the case is closed")
    sheet = gather_self_check.self_check(case, now=timezone.now())
    try:
        data = self_check_pdf(sheet, gather.paper_of(case.patient))
    except CannotPrint as refusal:
        return refused(request, refusal)
    name = f"self-check-{case.patient.record}-{sheet.on:%Y-%m-%d}.pdf"
    return hand_out(request, data, Handout.Kind.SELF_CHECK, about=case, name=name)
