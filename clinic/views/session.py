"""What a page asks about its session: how long it lasts, to go on, and to keep what was typed at its end.

And a person's own list of sessions, of which they end any, as their manager can end all.
"""

import math

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from clinic.access import allow, open_to_all, unattended
from clinic.audit import record
from clinic.models import OpenSession, Staff
from clinic.onward import came_from
from clinic.roles import Capability
from clinic.typed import hold, whose_mark
from clinic.writing import atomic_post


def state(request: HttpRequest) -> dict:
    """Whose session it is, how many seconds it has left, and whether it ends then whatever is done."""
    row = request.session.row if request.user.is_authenticated else None
    if not row:
        return {"who": None, "left": 0, "last": False}
    clinic = request.user.clinic
    left = (row.ends_at(clinic) - timezone.now()).total_seconds()
    return {
        "who": request.user.pk,
        "left": max(0, math.floor(left)),
        "last": row.is_at_its_longest(clinic),
    }


@open_to_all
@unattended
@never_cache
@require_safe
def left(request: HttpRequest) -> JsonResponse:
    """With the token of today: signing in anew in another window has changed it."""
    return JsonResponse(state(request) | {"token": get_token(request)})


@open_to_all
@unattended
@never_cache
@require_POST
def stay(request: HttpRequest) -> JsonResponse:
    """Somebody has pressed a key. It counts to the second, so that a warning is gone for good."""
    if request.user.is_authenticated:
        request.session.row.touch(now=timezone.now())
    return JsonResponse(state(request))


# The token of the page may be of the session before. The signed mark on the page is worth as much: only a
# page of that person has it, and all it opens is a place that this person alone reads.
@csrf_exempt
@open_to_all
@unattended
@require_POST
def keep_typed(request: HttpRequest) -> HttpResponse:
    typist, title = whose_mark(request.POST.get("typist", "")), request.POST.get("title", "")
    for path, text in zip(request.POST.getlist("path"), request.POST.getlist("text"), strict=False):
        hold(typist, path, text, title=title)
    return HttpResponse(status=204)


@require_POST
@allow(Capability.SEE_CLINIC)
@atomic_post
def end(request: HttpRequest) -> HttpResponse:
    """End one of the person's other sessions, or all of them."""
    others = request.user.live_sessions().but(request.session.session_key)
    ended = others.marked(request.POST["which"]) if "which" in request.POST else list(others)
    _end(request, request.user, ended)
    return redirect("clinic:account")


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def end_of_staff(request: HttpRequest, pk: int) -> HttpResponse:
    """End all sessions of a colleague."""
    member = get_object_or_404(Staff.objects.of(request.user.clinic), pk=pk)
    _end(request, member, list(member.live_sessions().but(request.session.session_key)))
    return redirect(came_from(request) or "clinic:account")


def _end(request: HttpRequest, member: Staff, sessions: list[OpenSession]) -> None:
    for one in sessions:
        one.delete()
    if sessions:
        record(request.user, "ended sessions", member, number=len(sessions))
    told = ngettext(
        "Signed out in %(number)s place.", "Signed out in %(number)s places.", len(sessions)
    )
    messages.success(request, told % {"number": len(sessions)})
