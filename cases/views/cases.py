"""Opening and closing a case."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404, patient_or_404
from cases.forms.cases import CaseForm, CloseForm
from cases.models import Appointment, Case
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.REGISTER)
@atomic_post
def case_new(request, pk):
    patient = patient_or_404(request.user, pk, lock=request.method == "POST")
    form = CaseForm(
        typed(request),
        patient=patient,
        instance=Case(opened=timezone.localdate()),
        initial={"lead": request.user.pk if request.user.treats else None},
    )
    if request.method == "POST" and form.is_valid():
        case = form.save()
        record(request.user, "opened a case", case)
        if Case.objects.open_of(patient).count() == 1:
            Appointment.objects.take_up(case, since=case.opened)
        messages.success(request, _("The case is open."))
        if request.user.may_read_clinical:
            return redirect("rehab:case", case.pk)
        return redirect("cases:patient", pk)
    context = {"form": form, "patient": patient}
    return render(request, "cases/case_form.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def case_close(request, pk):
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    draft = case.visits.drafts().first()
    if not case.is_open or draft:
        words = _("Sign the draft visit first.") if draft else _("This case is closed already.")
        messages.error(request, words)
        return redirect("rehab:case", pk)
    form = CloseForm(typed(request))
    if request.method == "POST" and form.is_valid():
        case.close(on=timezone.localdate(), **form.cleaned_data)
        record(request.user, "closed a case", case, status=case.status)
        messages.success(request, _("The case is closed."))
        return redirect("rehab:case", pk)
    coming = case.appointments.coming(after=timezone.now()).in_order()
    context = {"form": form, "case": case, "patient": case.patient, "coming": coming}
    return render(request, "cases/case_close.html", context, status=422 if form.errors else 200)
