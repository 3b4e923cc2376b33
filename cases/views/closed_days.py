"""The days on which the clinic is closed, and who is booked on them."""

from collections import Counter

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import closed_day_or_404
from cases.tables import closed_day_rows
from cases.to_move import to_be_moved
from cases.views.hours import after_a_change
from clinic.access import allow
from clinic.audit import record
from clinic.closed_day_form import ClosedDayForm
from clinic.csv_file import export
from clinic.models import Clinic, ClosedDay
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import written
from clinic.typed import typed
from clinic.writing import atomic_post

PAST_SHOWN = 12


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def closed_days(request: HttpRequest) -> HttpResponse:
    clinic, posted = request.user.clinic, request.method == "POST"
    if posted:
        clinic.locked()
    form = ClosedDayForm(typed(request), instance=ClosedDay(clinic=clinic))
    if posted and form.is_valid():
        return _close(request, form)
    days, today = ClosedDay.objects.of(clinic), timezone.localdate()
    coming = list(days.since(today))
    booked = _booked(clinic)
    context = {
        "form": form,
        "coming": [(one, booked[one.day]) for one in coming],
        "past": days.before(today)[:PAST_SHOWN],
    }
    return render(request, "cases/closed_days.html", context, status=422 if posted else 200)


@require_safe
@allow(Capability.MANAGE)
def closed_days_csv(request: HttpRequest) -> HttpResponse:
    """All of them, past and to come."""
    clinic = request.user.clinic
    rows = closed_day_rows(ClosedDay.objects.of(clinic), _booked(clinic))
    return export(request, rows, what="closed days")


def _booked(clinic: Clinic) -> Counter:
    """How many bookings have to be moved away from each day."""
    return Counter(row.booking.day for row in to_be_moved(clinic, now=timezone.now()))


def _close(request: HttpRequest, form: ClosedDayForm) -> HttpResponse:
    """Keep the day; whoever is booked on it is shown next, otherwise the form again for the next day."""
    closed = form.save()
    record(request.user, "closed a day", closed, day=closed.day.isoformat())
    told = {"day": written(closed.day), "name": closed.name}
    messages.success(request, _("Closed on %(day)s: %(name)s.") % told)
    return after_a_change(request, otherwise=f"{reverse('cases:closed_days')}#id_day")


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def open_again(request: HttpRequest, pk: int) -> HttpResponse:
    closed = closed_day_or_404(request.user, pk, lock=True)
    record(request.user, "opened a day again", closed, day=closed.day.isoformat())
    closed.delete()
    messages.success(request, _("Open again on %(day)s.") % {"day": written(closed.day)})
    return redirect("cases:closed_days")
