"""What can be printed for a patient: for the front desk, which sees no more of a case than that."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from rehab.models import Program


@require_safe
@allow(Capability.PRINT)
def papers(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets of each open case's current program; neither stage nor exercises are named."""
    patient = patient_or_404(request.user, pk)
    record(request.user, "opened", patient, page="papers")
    programs = Program.objects.of(request.user.clinic).running_for(patient)
    return render(request, "rehab/papers.html", {"patient": patient, "programs": programs})
