"""The appointment book, a day at a time."""

import datetime

from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.http import require_safe

from cases.calendar import ONE_DAY, read_calendar
from cases.daybook import DayBook
from clinic.access import allow
from clinic.models import Staff
from clinic.roles import Capability

YEARS = range(1900, 2200)


def asked_day(text: str | None) -> datetime.date:
    """The day in the address, or today when there is none, no such day or one at the end of all calendars."""
    try:
        day = parse_date(text or "")
    except ValueError:
        day = None
    return day if day and day.year in YEARS else timezone.localdate()


@require_safe
@allow(Capability.BOOK)
def book(request):
    day, clinic = asked_day(request.GET.get("day")), request.user.clinic
    people = list(Staff.objects.of(clinic).who_treat())
    calendar = read_calendar(clinic, first=day, last=day)
    grid = DayBook(calendar, people, now=timezone.now())
    context = {
        "day": day,
        "today": timezone.localdate(),
        "before": day - ONE_DAY,
        "after": day + ONE_DAY,
        "grid": grid,
        "rows": grid.rows(),
        "missed": [one for one in grid.live if one.status == "missed"],
        "next_free": grid.next_free(minutes=30),
    }
    return render(request, "cases/book.html", context)
