"""Pages that show the book as it is now: each asks every few seconds whether there is anything new.

The page carries what it has seen (`seen`) and sends it along; while that is still so, the answer is empty and
has cost one look at one row. Otherwise the answer is the template's partial `live`.
"""

import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from clinic.models import BookRevision, Clinic

# A page changes with the time too: what was free is over, who waits has waited longer.
MINUTE, QUARTER_HOUR = 60, 15 * 60


def sight(clinic: Clinic, *, now: datetime.datetime, every: int) -> str:
    """What there is to see: the revision of the book, and the time in steps of `every` seconds.

    Read it before the book itself: a change in between then shows with the next look.
    """
    return f"{BookRevision.objects.number_of(clinic)}.{int(now.timestamp()) // every}"


def seen_already(request: HttpRequest, seen: str) -> bool:
    return bool(request.htmx) and request.GET.get("seen") == seen


def nothing_new() -> HttpResponse:
    return HttpResponse(status=204)


def show(request: HttpRequest, template: str, context: dict) -> HttpResponse:
    """The page, or the part of it that changes."""
    return render(request, f"{template}#live" if request.htmx else template, context)
