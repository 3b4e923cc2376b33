"""Who is away, and whose booking that leaves behind."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import absence_or_404
from cases.fitting import absence_sentence, absence_words
from cases.tables import absence_rows
from cases.to_move import to_be_moved
from cases.views.hours import after_a_change
from clinic.absence_form import AbsenceForm
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.models import Absence
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def absences(request: HttpRequest) -> HttpResponse:
    clinic, posted = request.user.clinic, request.method == "POST"
    form = AbsenceForm(typed(request), clinic=clinic)
    if posted and form.is_valid():
        return _keep(request, form, verb="noted an absence")
    rows = [(one, absence_words(one), waiting) for one, waiting in _coming(clinic)]
    context = {"form": form, "rows": rows, "today": timezone.localdate()}
    return render(request, "cases/absences.html", context, status=422 if posted else 200)


def _coming(clinic) -> list[tuple[Absence, int]]:
    """The absences of now and to come, each with how many bookings it leaves to be moved."""
    now = timezone.now()
    waiting = [row.booking for row in to_be_moved(clinic, now=now)]
    coming = Absence.objects.of(clinic).not_over(now=now).select_related("staff")
    return [(one, sum(map(one.takes, waiting))) for one in coming]


@require_safe
@allow(Capability.BOOK)
def absences_csv(request: HttpRequest) -> HttpResponse:
    clinic = request.user.clinic
    return export(request, absence_rows(_coming(clinic), clinic), what="absences")


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def absence(request: HttpRequest, pk: int) -> HttpResponse:
    posted = request.method == "POST"
    held = absence_or_404(request.user, pk, lock=posted)
    words = absence_words(held)
    form = AbsenceForm(typed(request), clinic=request.user.clinic, instance=held)
    if posted and form.is_valid():
        return _keep(request, form, verb="changed an absence")
    context = {"absence": absence_or_404(request.user, pk), "words": words, "form": form}
    return render(request, "cases/absence.html", context, status=422 if posted else 200)


def _keep(request: HttpRequest, form: AbsenceForm, *, verb: str) -> HttpResponse:
    kept = form.save()
    record(request.user, verb, kept, staff=kept.staff_id)
    messages.success(request, absence_sentence(kept))
    return after_a_change(request, otherwise="cases:absences")


@require_POST
@allow(Capability.BOOK)
@atomic_post
def absence_remove(request: HttpRequest, pk: int) -> HttpResponse:
    held = absence_or_404(request.user, pk, lock=True)
    record(request.user, "removed an absence", held, staff=held.staff_id)
    told = {"who": held.staff, "when": absence_words(held)}
    held.delete()
    messages.success(request, _("%(who)s can be booked again %(when)s.") % told)
    return redirect("cases:absences")
