"""Who is due back and has no booking."""

import datetime

from django.core.paginator import Paginator
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.models import Case
from clinic.access import allow
from clinic.roles import Capability

DAYS_AHEAD = datetime.timedelta(days=14)
CASES_A_PAGE = 25


def due_cases(clinic, *, today, ahead=DAYS_AHEAD):
    """Open cases due by `today + ahead` that nobody has booked, most overdue first."""
    midnight = timezone.make_aware(datetime.datetime.combine(today, datetime.time()))
    waiting = Case.objects.of(clinic).open().due_by(today + ahead)
    return waiting.without_booking(after=midnight).with_people().most_overdue_first()


@require_safe
@allow(Capability.BOOK)
def due(request):
    today, query = timezone.localdate(), request.GET.get("q", "")
    waiting = due_cases(request.user.clinic, today=today)
    found = waiting.whose_patient_is_named(query).sorted_by(request.GET.get("sort", "due"))
    page = Paginator(found, CASES_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "query": query,
        "today": today,
        "overdue": waiting.due_by(today - datetime.timedelta(days=1)).count(),
        "all": waiting.count(),
    }
    return render(request, "cases/due.html", context)
