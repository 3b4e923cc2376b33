"""What patients want to have corrected: written down, listed while open, answered once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from cases.access import correction_or_404, patient_or_404
from cases.models import Addendum, CorrectionRequest, Visit
from cases.models.correction import CorrectionQuerySet
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.forms.corrections import AnswerForm, CorrectionForm
from rehab.tables import correction_rows


@require_safe
@allow(Capability.KEEP_RECORDS)
def corrections(request: HttpRequest) -> HttpResponse:
    """The open requests of all patients, the most urgent first."""
    context = {"requests": _open(request), "today": timezone.localdate()}
    return render(request, "rehab/corrections.html", context)


@require_safe
@allow(Capability.KEEP_RECORDS)
def corrections_csv(request: HttpRequest) -> HttpResponse:
    rows = correction_rows(_open(request), today=timezone.localdate())
    return export(request, rows, what="requests for correction")


def _open(request: HttpRequest) -> CorrectionQuerySet:
    waiting = CorrectionRequest.objects.of(request.user.clinic).open().with_people()
    return waiting.most_urgent_first()


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def correction_new(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, is_read=False)
    asked = CorrectionRequest(patient=patient, taken_by=request.user)
    today = timezone.localdate()
    form = CorrectionForm(typed(request), instance=asked, initial={"asked_on": today})
    if request.method == "POST" and form.is_valid():
        asked = form.save_for(request.user.clinic.correction_days)
        record(request.user, "took", asked)
        messages.success(request, _("Written down."))
        return redirect("rehab:rights", patient.pk)
    context = {"patient": patient, "form": form, "days": request.user.clinic.correction_days}
    status = 422 if form.errors else 200
    return render(request, "rehab/correction_form.html", context, status=status)


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def correction(request: HttpRequest, pk: int) -> HttpResponse:
    """One request with its answer, or the form for one."""
    asked = correction_or_404(request.user, pk, lock=request.method == "POST")
    addenda = Addendum.objects.of_patient(asked.patient)
    form = AnswerForm(typed(request), addenda=addenda)
    if request.method == "POST" and asked.is_open and form.is_valid():
        asked.give(by=request.user, at=timezone.now(), **form.cleaned_data)
        record(request.user, "answered", asked, answer=asked.answer)
        messages.success(request, _("Answered."))
        return redirect("rehab:rights", asked.patient_id)
    context = {
        "asked": asked,
        "patient": asked.patient,
        "form": form,
        "visits": Visit.objects.signed_of(asked.patient),
        "today": timezone.localdate(),
    }
    status = 422 if form.errors else 200
    return render(request, "rehab/correction.html", context, status=status)
