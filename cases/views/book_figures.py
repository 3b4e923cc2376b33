"""The figures of the appointment book, as a page and to take along."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.book_figures import Past, free, past
from cases.due import due_cases
from cases.forms.book_figures import BookFiguresForm
from clinic.access import allow
from clinic.csv_file import export
from clinic.models import Staff
from clinic.roles import Capability

HEADS = (
    "week from (date)", "booked (count)", "seen (count)", "missed (count)", "cancelled (count)",
    "cancelled late (count)", "not marked (count)",
)  # fmt: skip


@require_safe
@allow(Capability.BOOK)
def book_figures(request: HttpRequest) -> HttpResponse:
    clinic, today = request.user.clinic, timezone.localdate()
    form = BookFiguresForm(request.GET, clinic=clinic)
    people = list(Staff.objects.of(clinic).who_treat())
    shown = [form.chosen_who] if form.chosen_who else people
    waiting = due_cases(clinic, today=today)
    context = {
        "form": form,
        "past": _past(form, clinic, people, today),
        "free": free(clinic, shown, now=timezone.now()),
        "due": waiting.count(),
        "overdue": waiting.due_by(today).count(),
    }
    status = 422 if form.errors else 200
    return render(request, "cases/book_figures.html", context, status=status)


@require_safe
@allow(Capability.BOOK)
def book_figures_csv(request: HttpRequest) -> HttpResponse:
    clinic, today = request.user.clinic, timezone.localdate()
    form = BookFiguresForm(request.GET, clinic=clinic)
    found = _past(form, clinic, [], today)
    rows = (
        (day.isoformat(), one.booked, one.seen, one.missed, one.cancelled, one.late, one.unmarked)
        for day, one in found.weeks.items()
    )
    return export(request, [HEADS, *rows], what="book figures")


def _past(form: BookFiguresForm, clinic, people: list[Staff], today) -> Past:
    return past(clinic, people, today=today, weeks=form.chosen_weeks, who=form.chosen_who)
