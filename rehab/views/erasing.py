"""Records whose time has passed, the erasing of one, and what remains of those that were erased."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import patient_or_404
from cases.models import ErasureRefusal, Hold
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.models import Erasure
from clinic.models.erasure import ErasureQuerySet
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import written
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.access import erasure_or_404
from rehab.erasing import MayNotGo, counted, erase
from rehab.forms.erasing import EraseForm, HoldForm, RefusalForm
from rehab.keeping import due_records, kept
from rehab.tables import records_due_rows, records_erased_rows

A_PAGE = 25


@require_safe
@allow(Capability.MANAGE)
def records_due(request: HttpRequest) -> HttpResponse:
    """The review list: nothing on it goes unless somebody decides so."""
    today = timezone.localdate()
    due = due_records(request.user.clinic, today=today)
    page = Paginator(due, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "rehab/records_due.html", {"page": page, "total": len(due)})


@require_safe
@allow(Capability.MANAGE)
def records_due_csv(request: HttpRequest) -> HttpResponse:
    due = due_records(request.user.clinic, today=timezone.localdate())
    return export(request, records_due_rows(due), what="records due", records=len(due))


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def record_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """What goes, what stays, and the button."""
    patient, now = patient_or_404(request.user, pk, is_read=False), timezone.now()
    form, facts = EraseForm(typed(request), patient=patient), kept(patient)
    reasons = facts.why_not(today=timezone.localdate(now))
    if request.method == "POST" and not reasons and form.is_valid():
        try:
            gone = erase(patient, by=request.user, at=now)
        except MayNotGo as refusal:  # somebody has opened a case or placed a hold meanwhile
            reasons = refusal.reasons
        else:
            return redirect("rehab:record_erased", gone.pk)
    if reasons and request.method == "POST":
        record(request.user, "refused", patient, what="erasure")
    context = {
        "patient": patient,
        "kept": facts,
        "reasons": reasons,
        "form": form,
        "goes": counted(patient),
    }
    refused = request.method == "POST"
    return render(request, "rehab/record_erase.html", context, status=422 if refused else 200)


@require_safe
@allow(Capability.MANAGE)
def records_erased(request: HttpRequest) -> HttpResponse:
    page = Paginator(_erased(request), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "rehab/records_erased.html", {"page": page})


@require_safe
@allow(Capability.MANAGE)
def records_erased_csv(request: HttpRequest) -> HttpResponse:
    rows = records_erased_rows(_erased(request), request.user.clinic)
    return export(request, rows, what="records erased")


def _erased(request: HttpRequest) -> ErasureQuerySet:
    return Erasure.objects.of(request.user.clinic).select_related("erased_by").order_by("-pk")


@require_safe
@allow(Capability.MANAGE)
def record_erased(request: HttpRequest, pk: int) -> HttpResponse:
    """What remains of one record."""
    return render(
        request, "rehab/record_erased.html", {"erasure": erasure_or_404(request.user, pk)}
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def record_keep(request: HttpRequest, pk: int) -> HttpResponse:
    """The patient wants the record erased and it has to be kept: what they are told."""
    patient = patient_or_404(request.user, pk, is_read=False)
    facts = kept(patient)
    told = {"asked_on": timezone.localdate(), "reason": _reason(facts)}
    refusal = ErasureRefusal(patient=patient, refused_by=request.user, kept_until=facts.until)
    form = RefusalForm(typed(request), instance=refusal, initial=told)
    if request.method == "POST" and form.is_valid():
        refusal = form.save()
        record(request.user, "refused", refusal, what="erasure")
        messages.success(request, _("Written down."))
        return redirect("rehab:rights", patient.pk)
    context = {"patient": patient, "kept": facts, "form": form}
    status = 422 if form.errors else 200
    return render(request, "rehab/record_keep.html", context, status=status)


def _reason(facts) -> str:
    told = _(
        "The law asks the clinic to keep records of care. Yours is kept until %(day)s, and can be "
        "erased after that day."
    )
    return told % {"day": written(facts.until)}


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def hold_place(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, lock=request.method == "POST", is_read=False)
    form = HoldForm(typed(request), instance=Hold(patient=patient, placed_by=request.user))
    if request.method == "POST" and form.is_valid():
        if not patient.holds.standing().exists():
            record(request.user, "placed", form.save())
            messages.success(request, _("The record is on hold."))
        return redirect("rehab:rights", patient.pk)
    context = {"patient": patient, "form": form}
    status = 422 if form.errors else 200
    return render(request, "rehab/hold_form.html", context, status=status)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def hold_lift(request: HttpRequest, pk: int) -> HttpResponse:
    patient = patient_or_404(request.user, pk, lock=True, is_read=False)
    if hold := patient.holds.standing().first():
        hold.lift(by=request.user, at=timezone.now())
        record(request.user, "lifted", hold)
        messages.success(request, _("The hold is lifted."))
    return redirect("rehab:rights", patient.pk)
