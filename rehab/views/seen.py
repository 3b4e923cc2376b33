"""Who has seen this patient: on one page, by day and person, to read and to print."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from cases.forms.trail import DaysForm
from clinic.access import allow
from clinic.models import AuditEvent
from clinic.roles import Capability
from rehab.copies.as_data import staff_names
from rehab.copies.trail import older_events
from rehab.seen import by_day_and_person

MOST = 5000  # events on a page; earlier ones are found by their days


@require_safe
@allow(Capability.READ_AUDIT)
def seen(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, is_read=False)
    form = DaysForm(request.GET)
    events = AuditEvent.objects.of(patient.clinic_id).concerning(pk, older_events(patient))
    found = list(form.among(events).newest_first()[: MOST + 1])
    shown = found[:MOST]
    context = {
        "patient": patient,
        "form": form,
        "days": by_day_and_person(shown, staff_names(request.user.clinic)),
        "people": len({event.actor_id for event in shown} - {None}),
        "last": shown[0] if shown else None,
        "more": len(found) > MOST,
    }
    return render(request, "rehab/seen.html", context, status=422 if form.errors else 200)
