"""Restricting a record, lifting that, and the question why a restricted one is read."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from cases.access import patient_or_404
from cases.models import Restriction
from cases.restricted import give_reason
from clinic.access import allow
from clinic.audit import record
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.forms.restrictions import ReadingForm, RestrictionForm


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def restriction_new(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, lock=request.method == "POST", is_read=False)
    limit, today = Restriction(patient=patient, placed_by=request.user), timezone.localdate()
    form = RestrictionForm(typed(request), instance=limit, initial={"since": today})
    if request.method == "POST" and form.is_valid():
        record(request.user, "restricted", form.save())
        messages.success(request, _("The record is restricted."))
        return redirect("rehab:rights", patient.pk)
    context = {"patient": patient, "form": form}
    status = 422 if form.errors else 200
    return render(request, "rehab/restriction_form.html", context, status=status)


@require_POST
@allow(Capability.KEEP_RECORDS)
@atomic_post
def restriction_lift(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, lock=True, is_read=False)
    for limit in patient.restrictions.standing():
        limit.lift(by=request.user, at=timezone.now())
        record(request.user, "lifted", limit)
    messages.success(
        request, _("The restriction is lifted. Tell the patient before you use the record.")
    )
    return redirect("rehab:rights", patient.pk)


@require_http_methods(["GET", "POST"])
@allow(Capability.REGISTER)
def restricted(request: HttpRequest, pk: int) -> HttpResponse:
    """Why is the record read? The answer stands in the trail, and holds until signing out."""
    patient = patient_or_404(request.user, pk, is_read=False)
    limit = Restriction.objects.on_patient(patient.pk, on=timezone.localdate())
    onward = way_on(request, resolve_url("cases:patient", patient.pk))
    if limit is None:
        return redirect(onward)
    form = ReadingForm(typed(request))
    if request.method == "POST" and form.is_valid():
        give_reason(request, patient, form.cleaned_data["ground"])
        record(request.user, "opened restricted", patient, ground=form.cleaned_data["ground"])
        return redirect(onward)
    context = {"patient": patient, "limit": limit, "form": form, "next": came_from(request)}
    status = 422 if form.errors else 200
    return render(request, "rehab/restricted.html", context, status=status)
