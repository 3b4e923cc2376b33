"""Who signed in when and from where, and what was tried in vain: one's own, and the manager's view of all."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.models import SignIn, Staff
from clinic.models.sign_in import KEPT_FOR
from clinic.roles import Capability

A_PAGE = 50


@require_safe
@allow(Capability.SEE_CLINIC)
def own_sign_ins(request: HttpRequest) -> HttpResponse:
    return _page(request, SignIn.objects.by(request.user), whose=request.user, own=True)


@require_safe
@allow(Capability.MANAGE)
def sign_ins(request: HttpRequest) -> HttpResponse:
    """Those of the whole clinic, or of the person in the address."""
    rows, number = SignIn.objects.of(request.user.clinic), request.GET.get("who", "")
    if not number:
        return _page(request, rows)
    people = Staff.objects.ever_of(request.user.clinic)
    whose = get_object_or_404(people, pk=number if number.isdecimal() else 0)
    return _page(request, rows.by(whose), whose=whose)


def _page(
    request: HttpRequest, rows, *, whose: Staff | None = None, own: bool = False
) -> HttpResponse:
    shown = request.GET.get("show") if request.GET.get("show") == "failed" else "all"
    wanted = rows.failed() if shown == "failed" else rows
    context = {
        "page": Paginator(wanted.newest_first(), A_PAGE).get_page(request.GET.get("page")),
        "failed": rows.failed().count(),
        "shown": shown,
        "whose": whose,
        "own": own,
        "days": KEPT_FOR.days,
    }
    return render(request, "clinic/sign_ins.html", context)
