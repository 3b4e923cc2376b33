"""How well the clinic's own grip trials repeat, beside the published figures."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assessments.clinical.reliability import MIN_PAIRS
from assessments.repeated import NEWEST, published_pairs, repeated
from clinic.access import allow
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_CLINICAL)
def reliability(request: HttpRequest) -> HttpResponse:
    rows = repeated(request.user.clinic)
    context = {
        "published": published_pairs(),
        "first": rows[0],
        "shown": [row for row in rows if row.squares],
        "few": [row for row in rows if not row.squares],
        "needed": MIN_PAIRS,
        "newest": NEWEST,
    }
    return render(request, "assessments/reliability.html", context)
