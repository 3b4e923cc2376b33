"""Booking a patient's next visits ahead, all in one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from cases.access import patient_or_404
from cases.forms.appointments import proposal
from cases.forms.series import SeriesForm
from cases.models import Appointment
from cases.views.book import book_page
from clinic.access import allow
from clinic.audit import record
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post

USUAL = {"every_weeks": 2, "times": 4}


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def series_new(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk)
    form = SeriesForm(
        typed(request),
        instance=Appointment(patient=patient),
        initial=USUAL | proposal(request.GET, patient, by=request.user),
    )
    if request.method == "POST" and form.is_valid() and form.keep():
        for visit in form.series:
            record(request.user, "booked", visit)
        messages.success(request, form.told())
        return redirect(way_on(request, book_page(form.series[0].day)))
    context = {"form": form, "patient": patient, "next": came_from(request)}
    return render(request, "cases/series_form.html", context, status=422 if form.errors else 200)
