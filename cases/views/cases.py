"""Opening a case."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import patient_or_404
from cases.forms.cases import CaseForm
from cases.models import Case
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
        messages.success(request, _("The case is open."))
        if request.user.may_read_clinical:
            return redirect("rehab:case", case.pk)
        return redirect("cases:patient", pk)
    return render(request, "cases/case_form.html", {"form": form, "patient": patient})
