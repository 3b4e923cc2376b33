"""What was handed out to a patient, and each sheet again as it was."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from rehab.access import handout_or_404
from rehab.models import Handout
from rehab.models.handout import Altered
from rehab.views.prints import as_file

HANDOUTS_A_PAGE = 25


@require_safe
@allow(Capability.PRINT)
def handouts(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk)
    given = Handout.objects.shown_to(request.user).given_to(patient)
    page = Paginator(given, HANDOUTS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "rehab/handouts.html", {"patient": patient, "page": page})


@require_safe
@allow(Capability.PRINT)
def handout(request: HttpRequest, pk: int) -> HttpResponse:
    """The very bytes that were handed out, or a refusal when they are not."""
    kept = handout_or_404(request.user, pk)
    try:
        data = kept.as_it_was()
    except Altered:
        record(request.user, "refused", kept, what=kept.kind, sha=kept.mark)
        return render(request, "rehab/handout_altered.html", {"handout": kept}, status=409)
    kind = Handout.Kind(kept.kind)
    verb = "saved again" if kind.is_page else "printed again"
    record(request.user, verb, kept, what=kept.kind, sha=kept.mark)
    return as_file(data, kind, kept.name)
