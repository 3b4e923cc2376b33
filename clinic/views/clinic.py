"""The clinic's own details, which only its manager changes."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clinic.access import allow
from clinic.audit import record
from clinic.clinic_form import ClinicForm
from clinic.models import Clinic
from clinic.roles import Capability
from clinic.set_up import way_back
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def clinic(request: HttpRequest) -> HttpResponse:
    form = ClinicForm(typed(request), instance=_own(request))
    if request.method == "POST" and form.is_valid():
        return _save(request, form)
    refused = request.method == "POST"
    return render(request, "clinic/clinic.html", {"form": form}, status=422 if refused else 200)


def _own(request: HttpRequest) -> Clinic:
    """Read the clinic anew: the form writes into it, and the head of the page shows what is on record."""
    own = request.user.clinic
    return own.locked() if request.method == "POST" else Clinic.objects.get(pk=own.pk)


def _save(request: HttpRequest, form: ClinicForm) -> HttpResponse:
    if changes := form.changes():
        record(request.user, "changed", form.save(), fields=changes)
        messages.success(request, _("Saved."))
    else:
        messages.info(request, _("Nothing was changed."))
    return redirect(way_back(form.instance, otherwise="clinic:clinic"))
