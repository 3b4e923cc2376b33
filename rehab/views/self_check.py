"""The self-check sheet of a case as PDF."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from cases.models import Case
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.wording import Sentence
from rehab import sheets
from rehab.models import Handout
from rehab.sheets import Waits
from rehab.views.prints import print_for_patient


@require_safe
@allow(Capability.PRINT)
def self_check(request: HttpRequest, pk: int) -> HttpResponse:
    """A closed case has nothing left to check; one that needs help elsewhere first is not tested at home."""
    case = case_or_404(request.user, pk)
    if not case.is_open:
        raise Http404("the case is closed")
    try:
        return print_for_patient(request, sheets.self_check, case)
    except Waits as refusal:
        return waiting(request, case, refusal.reasons)


def waiting(request: HttpRequest, case: Case, reasons: tuple[Sentence, ...]) -> HttpResponse:
    """Say that the sheet waits; the reasons are for those who may read them."""
    record(request.user, "refused", case, what=Handout.Kind.SELF_CHECK.value)
    context = {"case": case, "reasons": reasons if request.user.may_read_clinical else ()}
    return render(request, "rehab/self_check_waits.html", context, status=409)
