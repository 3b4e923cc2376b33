"""The clinic's own settings."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clinic.access import allow
from clinic.audit import record
from clinic.forms import ClinicForm
from clinic.models import Clinic
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def clinic(request: HttpRequest) -> HttpResponse:
    """Name, address, units and paper; what is printed from now on follows them."""
    rows = Clinic.objects.select_for_update() if request.method == "POST" else Clinic.objects
    own = rows.get(pk=request.user.clinic_id)
    form = ClinicForm(typed(request), instance=own)
    if request.method == "POST" and form.is_valid():
        form.save()
        changed = [name for name in form.changed_data if name in form.on_record]
        record(request.user, "changed", own, fields=changed)
        messages.success(request, _("The clinic's settings are saved."))
        return redirect("clinic:clinic")
    refused = request.method == "POST"
    return render(request, "clinic/clinic.html", {"form": form}, status=422 if refused else 200)
