"""What a patient may ask of their record, on one page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from rehab.models import RecordCopy


@require_safe
@allow(Capability.KEEP_RECORDS)
def rights(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk)
    record(request.user, "opened", patient, page="rights")
    context = {"patient": patient, "copies": RecordCopy.objects.of_patient(patient)}
    return render(request, "rehab/rights.html", context)
