"""A case for another system."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab.exchange.export import export, file_name, refusal


@require_safe
@allow(Capability.KEEP_RECORDS)
def case_fhir(request: HttpRequest, pk: int) -> HttpResponse:
    """The case as one FHIR document, to keep as a file."""
    case = case_or_404(request.user, pk)
    if why_not := refusal(case, today=timezone.localdate()):
        messages.error(request, why_not)
        return redirect("rehab:case", case.pk)
    headers = {"Content-Disposition": f'attachment; filename="{file_name(case)}"'}
    file = export(case, by=request.user)
    return HttpResponse(file, content_type="application/fhir+json", headers=headers)
