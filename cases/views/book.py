"""The appointment book: a day of everybody, a week of one practitioner, a week of everybody."""

import datetime
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe
from django_htmx.http import HttpResponseClientRefresh

from cases import live
from cases.calendar import monday_of, read_calendar
from cases.daybook import DayBook, WeekBook
from cases.models import Appointment
from cases.tables import booking_rows
from cases.weekbook import WeekOfAll
from clinic.access import allow
from clinic.csv_file import export
from clinic.models import Staff
from clinic.roles import Capability
from clinic.slots import ONE_DAY

YEARS = range(1900, 2200)  # a book has no page for others
HALF_HOUR = 30
ONE_WEEK = 7 * ONE_DAY


def asked_day(request: HttpRequest) -> datetime.date:
    """The day in the address; today when there is none, or, with a word about it, no such day."""
    text = request.GET.get("day", "")
    try:
        day = parse_date(text)
    except ValueError:
        day = None
    if day and day.year in YEARS:
        return day
    if text:
        messages.warning(request, _("“%(text)s” is no day. This is today.") % {"text": text})
    return timezone.localdate()


def asked_person(request: HttpRequest, people: list[Staff]) -> Staff | None:
    """The practitioner in the address; None for everybody, or, with a word about it, for no such person."""
    number = request.GET.get("who", "")
    found = next((who for who in people if str(who.pk) == number), None)
    if number and not found:
        messages.warning(
            request, _("Nobody here sees patients under that number. This is everybody.")
        )
    return found


@require_safe
@allow(Capability.BOOK)
def book(request):
    now, clinic = timezone.now(), request.user.clinic
    seen = live.sight(clinic, now=now, every=live.QUARTER_HOUR)
    if live.seen_already(request, seen):
        return live.nothing_new()
    day, people = asked_day(request), list(Staff.objects.of(clinic).who_treat())
    grid = DayBook(read_calendar(clinic, first=day, last=day), people, now=now)
    context = {
        "grid": grid,
        "rows": grid.rows(),
        "missed": [one for one in grid.live if one.status == "missed"],
    }
    return _shown(request, "cases/book.html", day, grid, context | {"seen": seen}, step=ONE_DAY)


@require_safe
@allow(Capability.BOOK)
def week(request):
    now, clinic = timezone.now(), request.user.clinic
    seen = live.sight(clinic, now=now, every=live.QUARTER_HOUR)
    if live.seen_already(request, seen):
        return live.nothing_new()
    day, people = asked_day(request), list(Staff.objects.of(clinic).who_treat())
    monday, who = monday_of(day), asked_person(request, people)
    calendar = read_calendar(clinic, first=monday, last=monday + 6 * ONE_DAY, who=who)
    if request.htmx and who is None and request.GET.get("who"):
        return HttpResponseClientRefresh()  # who sees no patients any more has no week
    context = {"seen": seen, "people": people, "who": who}
    if who is None:
        grid = WeekOfAll(calendar, people, now=now)
        return _shown(request, "cases/book_everybody.html", monday, grid, context, step=ONE_WEEK)
    grid = WeekBook(calendar, who, now=now)
    context |= {"rows": grid.rows()}
    return _shown(request, "cases/book_week.html", monday, grid, context, step=ONE_WEEK)


@require_safe
@allow(Capability.BOOK)
def book_csv(request):
    """The bookings of the day in the address; with `?days=7`, of its week, with everybody or with one."""
    clinic, day = request.user.clinic, asked_day(request)
    who = asked_person(request, list(Staff.objects.of(clinic).who_treat()))
    first, step = (monday_of(day), ONE_WEEK) if request.GET.get("days") == "7" else (day, ONE_DAY)
    found = Appointment.objects.of(clinic).on_days(first, first + step - ONE_DAY).in_order()
    found = found.with_practitioner(who) if who else found
    told = {"from": first.isoformat(), "days": step.days, "bookings": found.count()}
    return export(request, booking_rows(found, clinic), what="bookings", **told)


def _shown(request, template: str, first: datetime.date, grid, context, *, step) -> HttpResponse:
    """The page of the day or week that begins on `first`, with the ways to those around it."""
    who = context.get("who")
    context |= {
        "day": first,
        "last": first + step - ONE_DAY,
        "today": timezone.localdate(),
        "before": first - step,
        "after": first + step,
        "grid": grid,
        "next_free": grid.next_free(minutes=HALF_HOUR),
        "here": book_page(first, week=step == ONE_WEEK, who=who),
    }
    return live.show(request, template, context)


def book_page(day: datetime.date, *, week: bool = False, who: Staff | None = None) -> str:
    """The address of a day or a week in the book."""
    asked = {"who": who.pk, "day": day.isoformat()} if who else {"day": day.isoformat()}
    return f"{reverse('cases:week' if week else 'cases:book')}?{urlencode(asked)}"
