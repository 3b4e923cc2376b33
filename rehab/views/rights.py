"""What a patient may ask of their record, on one page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from cases.models import CorrectionRequest, ErasureRefusal, Hold, Restriction
from clinic.access import allow
from clinic.roles import Capability
from rehab.keeping import kept
from rehab.models import RecordCopy


@require_safe
@allow(Capability.KEEP_RECORDS)
def rights(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, is_read=False)
    facts, today = kept(patient), timezone.localdate()
    context = {
        "patient": patient,
        "copies": RecordCopy.objects.of_patient(patient),
        "restrictions": Restriction.objects.of_patient(patient),
        "in_force": Restriction.objects.on_patient(patient.pk, on=today),
        "corrections": CorrectionRequest.objects.of_patient(patient),
        "today": today,
        "kept": facts,
        "is_due": facts.is_due(today=today),
        "holds": Hold.objects.of_patient(patient),
        "refusals": ErasureRefusal.objects.of_patient(patient),
        "may_read_audit": request.user.may(Capability.READ_AUDIT),
        "may_erase": request.user.may(Capability.MANAGE),
    }
    return render(request, "rehab/rights.html", context)
