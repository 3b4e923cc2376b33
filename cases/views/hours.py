"""The clinic's opening hours."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from cases.to_move import to_be_moved
from clinic.access import allow
from clinic.audit import record
from clinic.hours_form import HoursForm
from clinic.roles import Capability
from clinic.set_up import way_back
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def hours(request: HttpRequest) -> HttpResponse:
    clinic, posted = request.user.clinic, request.method == "POST"
    if posted:
        clinic.locked()
    form = HoursForm(typed(request), clinic=clinic)
    if posted and form.is_valid():
        return _save(request, form)
    return render(request, "cases/hours.html", {"form": form}, status=422 if posted else 200)


def _save(request: HttpRequest, form: HoursForm) -> HttpResponse:
    if not (days := form.changed_days()):
        messages.info(request, _("Nothing was changed."))
        return redirect("cases:hours")
    form.save()
    record(request.user, "changed", form.clinic, fields=["opening hours"], days=days)
    messages.success(request, _("Saved."))
    return after_a_change(request, otherwise=way_back(form.clinic, otherwise="cases:hours"))


def after_a_change(request: HttpRequest, *, otherwise: str) -> HttpResponse:
    """Lead on after the calendar has changed: to the bookings that no longer fit, if there are any."""
    if waiting := len(to_be_moved(request.user.clinic, now=timezone.now())):
        words = ngettext(
            "%(waiting)s booking no longer fits and needs another time.",
            "%(waiting)s bookings no longer fit and need another time.",
            waiting,
        )
        messages.warning(request, words % {"waiting": waiting})
        return redirect("cases:to_move")
    return redirect(otherwise)
