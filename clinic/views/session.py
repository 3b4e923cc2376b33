"""What a page asks about its session: how long it lasts, to go on, and to keep what was typed at its end."""

import math

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from clinic.access import open_to_all, unattended
from clinic.typed import hold, whose_mark


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
    return JsonResponse(state(request))


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
    typist = whose_mark(request.POST.get("typist", ""))
    for path, text in zip(request.POST.getlist("path"), request.POST.getlist("text"), strict=False):
        hold(typist, path, text)
    return HttpResponse(status=204)
