"""Who signed in when and from where, and what was tried in vain: one's own, and the manager's view of all."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.csv_file import export
from clinic.models import SignIn, Staff
from clinic.models.sign_in import KEPT_FOR, SignInQuerySet
from clinic.roles import Capability
from clinic.tables import sign_in_rows

A_PAGE = 50


@require_safe
@allow(Capability.SEE_CLINIC)
def own_sign_ins(request: HttpRequest) -> HttpResponse:
    return _page(request, SignIn.objects.by(request.user), whose=request.user, own=True)


@require_safe
@allow(Capability.MANAGE)
def sign_ins(request: HttpRequest) -> HttpResponse:
    """Those of the whole clinic, or of the person in the address."""
    whose, rows = _chosen(request)
    return _page(request, rows, whose=whose)


@require_safe
@allow(Capability.MANAGE)
def sign_ins_csv(request: HttpRequest) -> HttpResponse:
    whose, rows = _chosen(request)
    rows, clinic = _shown(request, rows)[1].newest_first(), request.user.clinic
    return export(request, sign_in_rows(rows, clinic), what="sign-ins", about=whose)


def _chosen(request: HttpRequest) -> tuple[Staff | None, SignInQuerySet]:
    """The person in the address with their attempts; without one, those of the whole clinic."""
    rows, number = SignIn.objects.of(request.user.clinic), request.GET.get("who", "")
    if not number:
        return None, rows
    people = Staff.objects.ever_of(request.user.clinic)
    whose = get_object_or_404(people, pk=number if number.isdecimal() else 0)
    return whose, rows.by(whose)


def _shown(request: HttpRequest, rows: SignInQuerySet) -> tuple[str, SignInQuerySet]:
    """Whether only what was tried in vain is shown, and those attempts."""
    failed = request.GET.get("show") == "failed"
    return ("failed", rows.failed()) if failed else ("all", rows)


def _page(
    request: HttpRequest, rows, *, whose: Staff | None = None, own: bool = False
) -> HttpResponse:
    shown, wanted = _shown(request, rows)
    context = {
        "page": Paginator(wanted.newest_first(), A_PAGE).get_page(request.GET.get("page")),
        "failed": rows.failed().count(),
        "shown": shown,
        "whose": whose,
        "own": own,
        "days": KEPT_FOR.days,
    }
    return render(request, "clinic/sign_ins.html", context)
