"""Screens on the wall: their secret addresses, and what one of them reads there."""

import hashlib
import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import display_key_or_404
from cases.display import MOST, board
from cases.forms.displays import DisplayForm
from cases.models import DisplayKey
from cases.models.display_key import READS_A_MINUTE
from clinic.access import allow, open_to_all
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post

SHOWN_ONCE = "display secret"


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def displays(request: HttpRequest) -> HttpResponse:
    """The screens that have an address, and a place for the next one."""
    clinic, posted = request.user.clinic, request.method == "POST"
    if posted:
        clinic.locked()
    form = DisplayForm(typed(request), instance=DisplayKey(clinic=clinic))
    if posted and form.is_valid():
        key, secret = DisplayKey.objects.give(clinic, name=form.cleaned_data["name"])
        request.session[SHOWN_ONCE] = secret
        record(request.user, "made display address", key)
        return redirect("cases:displays")
    secret = request.session.pop(SHOWN_ONCE, None)
    context = {
        "form": form,
        "address": secret and request.build_absolute_uri(reverse("cases:display", args=[secret])),
        "keys": DisplayKey.objects.listed(clinic),
        "most": MOST,
        "reads": READS_A_MINUTE,
    }
    return render(request, "cases/displays.html", context, status=422 if form.errors else 200)


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def display_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    key = display_key_or_404(request.user, pk, lock=True)
    key.revoke()
    record(request.user, "took back display address", key)
    messages.success(request, _("The screen “%(name)s” shows nothing any more.") % {"name": key})
    return redirect("cases:displays")


@require_safe
@open_to_all
def display(request: HttpRequest, secret: str) -> HttpResponse:
    """Whoever has the secret reads; a secret that was taken back or never given does not exist."""
    key, now = get_object_or_404(DisplayKey.objects.opened_by(secret)), timezone.now()
    if not key.may_read(now=now):
        return HttpResponse(status=429, headers={"Retry-After": 60 - int(now.timestamp()) % 60})
    with key.clinic.own_time():  # nobody is signed in, so the request has no zone
        key.note_reading(on=timezone.localdate(now))
    body = json.dumps(board(key.clinic, now=now), ensure_ascii=False).encode()
    etag = quote_etag(hashlib.sha256(body).hexdigest()[:32])
    unchanged = get_conditional_response(request, etag=etag)
    response = unchanged or HttpResponse(body, content_type="application/json")
    response["ETag"] = etag
    return response
