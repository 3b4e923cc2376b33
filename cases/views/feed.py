"""A practitioner's calendar: its secret address, and what a calendar app reads there."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import calendar_key_or_404
from cases.feed import appointments_of, version
from cases.feed import feed as feed_of
from cases.models import CalendarKey
from clinic.access import allow, open_to_all
from clinic.audit import record
from clinic.roles import Capability
from clinic.writing import atomic_post

SHOWN_ONCE = "calendar secret"


@require_http_methods(["GET", "POST"])
@allow(Capability.SEE_CLINIC)
@atomic_post
def calendar_address(request: HttpRequest) -> HttpResponse:
    """The practitioner's own address; a manager sees who has one."""
    user = request.user
    if request.method == "POST" and user.treats:
        request.session[SHOWN_ONCE] = CalendarKey.objects.give(user)
        record(user, "made calendar address", user)
        return redirect("cases:calendar_address")
    secret = request.session.pop(SHOWN_ONCE, None)
    context = {
        "own": CalendarKey.objects.held_by(user).first(),
        "address": secret and request.build_absolute_uri(reverse("cases:feed", args=[secret])),
        "keys": CalendarKey.objects.listed(user.clinic) if user.may(Capability.MANAGE) else [],
    }
    return render(request, "cases/calendar_address.html", context)


@require_POST
@allow(Capability.SEE_CLINIC)
@atomic_post
def calendar_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    key = calendar_key_or_404(request.user, pk)
    key.revoke()
    record(request.user, "took back calendar address", key.practitioner)
    told = _("The calendar address of %(who)s opens nothing any more.")
    messages.success(request, told % {"who": key.practitioner})
    return redirect("cases:calendar_address")


@require_safe
@open_to_all
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    """Whoever has the secret reads; a secret that was taken back or never given does not exist."""
    key = get_object_or_404(CalendarKey.objects.opened_by(secret))
    now = timezone.now()
    booked = appointments_of(key.practitioner, now=now)
    with key.practitioner.clinic.own_time():  # nobody is signed in, so the request has no zone
        key.note_reading(on=timezone.localdate(now))
    etag = quote_etag(version(booked))
    unchanged = get_conditional_response(request, etag=etag)
    response = unchanged or HttpResponse(
        feed_of(key.practitioner, booked, now=now), content_type="text/calendar; charset=utf-8"
    )
    response["ETag"] = etag
    return response
