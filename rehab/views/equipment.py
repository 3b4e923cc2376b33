"""What the patient owns to train with."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from clinic.access import allow
from clinic.audit import record
from clinic.onward import came_from
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.clinical.owned import BOTTLE_STEP
from rehab.forms.equipment import EquipmentForm
from rehab.models import Equipment


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def equipment(request: HttpRequest, pk: int) -> HttpResponse:
    """One form; from then on the loads of the case go by it."""
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    if not case.is_open:
        messages.error(request, _("This case is closed. Open a new one to see the patient again."))
        return redirect("rehab:case", pk)
    recorded = Equipment.of_case(case)
    form = EquipmentForm(typed(request), instance=recorded or Equipment(case=case))
    back = came_from(request) or reverse("rehab:program", args=[pk])
    if request.method == "POST" and form.is_valid():
        record(request.user, "changed", form.save())
        messages.success(request, _("Saved. The loads of this case go by it from now on."))
        return redirect(back)
    context = {
        "case": case,
        "form": form,
        "owned": recorded.owned if recorded else None,
        "bottle": BOTTLE_STEP,
        "back": back,
    }
    return render(request, "rehab/equipment.html", context, status=422 if form.is_bound else 200)
