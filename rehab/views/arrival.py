"""A patient has arrived: what the front desk hands out and takes in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from assessments.clinical.completeness import AGAIN_AFTER
from cases.access import appointment_or_404
from cases.views.book import book_page
from clinic.access import allow
from clinic.onward import way_on
from clinic.roles import Capability
from rehab.arrival import at_arrival


@require_safe
@allow(Capability.PRINT)
def arrival(request: HttpRequest, pk: int) -> HttpResponse:
    appointment = appointment_or_404(request.user, pk)
    due = at_arrival(appointment, today=timezone.localdate())
    context = {
        "appointment": appointment,
        "due": [one for one in due if one.anything],
        "again_after": AGAIN_AFTER,
        "back": way_on(request, book_page(appointment.day)),
    }
    return render(request, "rehab/arrival.html", context)
