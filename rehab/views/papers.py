"""What can be printed for a patient: for the front desk, which sees no more of a case than that."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from cases.models import Case
from clinic.access import allow
from clinic.roles import Capability
from rehab.models import Program


@require_safe
@allow(Capability.PRINT)
def papers(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets of each open case and its current program; neither stage nor exercises are named."""
    patient = patient_or_404(request.user, pk)
    running = {program.case_id: program for program in Program.objects.running_for(patient)}
    cases = [(case, running.get(case.pk)) for case in Case.objects.open_of(patient)]
    coming = patient.appointments.on_day(timezone.localdate()).not_gone()
    context = {
        "patient": patient,
        # First what there is a home program for: that is what is printed most.
        "cases": sorted(cases, key=lambda one: one[1] is None),
        "comes_today": coming.exists(),
    }
    return render(request, "rehab/papers.html", context)
