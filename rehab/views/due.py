"""Who is due back and has no booking."""

from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import case_or_404
from cases.due import counts, due_cases, unbooked
from clinic.access import allow
from clinic.csv_file import export
from clinic.onward import came_from
from clinic.roles import Capability
from rehab.clinical.reviewing import LOOK_AGAIN
from rehab.due_list import in_order, kind_due, waiting
from rehab.models import ThresholdChange
from rehab.tables import due_rows

CASES_A_PAGE = 25


def undated(clinic, *, today):
    return unbooked(clinic, today=today).without_date()


# How each list is fetched, and its usual order.
LISTS = {"due": (due_cases, "due"), "undated": (undated, "opened")}


@require_safe
@allow(Capability.BOOK)
def due(request):
    """Those whose day is near or past; with `?which=open`, open cases for which nobody has set a day."""
    today, query, clinic = timezone.localdate(), request.GET.get("q", ""), request.user.clinic
    which, found = _chosen(request, today=today)
    numbers = counts(clinic, today=today)
    pages = Paginator(found, CASES_A_PAGE)
    if not query:
        pages.count = numbers[which]
    page = pages.get_page(request.GET.get("page"))
    limits = ThresholdChange.objects.limits(clinic)
    context = {
        "page": page,
        "rows": waiting(page, today=today, limits=limits),
        "look_again": [limits[code] for code in reversed(LOOK_AGAIN.values())],
        "query": query,
        "today": today,
        "without_date": which == "undated",
        **numbers,
    }
    return render(request, "rehab/due.html", context)


@require_safe
@allow(Capability.BOOK)
def due_book(request, pk):
    """On to the form that books a case, for what it is due for."""
    case = case_or_404(request.user, pk)
    limits = ThresholdChange.objects.limits(request.user.clinic)
    kind = kind_due(case, today=timezone.localdate(), limits=limits)
    asked = {"case": case.pk, "kind": kind.value, "next": came_from(request)}
    return redirect(f"{reverse('cases:appointment_new')}?{urlencode(asked)}")


@require_safe
@allow(Capability.BOOK)
def due_csv(request):
    today, clinic = timezone.localdate(), request.user.clinic
    which, found = _chosen(request, today=today)
    clinical = request.user.may(Capability.READ_CLINICAL)
    told = {"which": which, "cases": found.count(), "searched": bool(request.GET.get("q"))}
    rows = due_rows(found, clinic, today=today, clinical=clinical)
    return export(request, rows, what="due and not booked", **told)


def _chosen(request, *, today):
    """Which list is asked for, and its cases whose patient has the name in the address, in order."""
    which = "undated" if request.GET.get("which") == "open" else "due"
    cases, usual = LISTS[which]
    found = cases(request.user.clinic, today=today)
    found = found.whose_patient_is_named(request.GET.get("q", ""))
    return which, in_order(found, request.GET.get("sort", ""), usual=usual)
