"""Too many wrong passwords for a name from an address: the pair waits, for a time that ends by itself."""

import math
from dataclasses import dataclass
from datetime import datetime

from axes.models import AccessAttempt
from axes.utils import reset
from django.conf import settings
from django.db.models import Max, Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from clinic.address import network_of
from clinic.models import Staff
from clinic.onward import came_from


@dataclass(frozen=True)
class Lock:
    """One name that may not try from one address until a time."""

    username: str
    address: str | None
    until: datetime


def locks(usernames: list[str], *, now: datetime) -> list[Lock]:
    """What these names are locked out of now, the latest first; in one query."""
    recent = AccessAttempt.objects.filter(
        username__in=usernames, attempt_time__gt=now - settings.AXES_COOLOFF_TIME
    )
    # A row for each browser: the failures of all count together.
    pairs = recent.order_by().values("username", "ip_address")
    counted = pairs.annotate(failures=Sum("failures_since_start"), last=Max("attempt_time"))
    return [
        Lock(row["username"], row["ip_address"], row["last"] + settings.AXES_COOLOFF_TIME)
        for row in counted.filter(failures__gte=settings.AXES_FAILURE_LIMIT).order_by("-last")
    ]


def lift(staff: Staff) -> int:
    """Let the person try again at once, from everywhere; returns how many counts were forgotten."""
    return reset(username=staff.username)


def answer(request: HttpRequest, response: HttpResponse, credentials: dict) -> HttpResponse:
    """The page of whoever tries while locked out: how long to wait. It is the same for names nobody has."""
    now = timezone.now()
    here = [
        lock.until
        for lock in locks([credentials["username"]], now=now)
        if lock.address == network_of(request)
    ]
    wait = max(here, default=now + settings.AXES_COOLOFF_TIME) - now
    context = {"minutes": math.ceil(wait.total_seconds() / 60), "next": came_from(request)}
    page = render(request, "clinic/locked_out.html", context, status=429)
    page["Retry-After"] = math.ceil(wait.total_seconds())
    return page
