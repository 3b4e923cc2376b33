"""What was typed into a form: sent now, or sent too late and held until signing in again.

A form is given back to the one who typed it and to nobody else. Who that is says a signed note: a cookie of
the browser for a form that comes by itself, a mark on the page for one that the page brings into safety.
"""

from urllib.parse import parse_qsl, urlencode

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, QueryDict

from clinic.models import HeldForm, Staff

TYPIST = "typist"  # keeps its signatures apart from others
TYPIST_COOKIE = f"{settings.COOKIE_PREFIX}typist"
HELD = "held_forms"  # in the session: the paths whose forms wait
MARK_LASTS = 24 * 60 * 60  # seconds; no session is longer


def remember_typist(request: HttpRequest, response) -> None:
    """Leave a signed note of who signed in, so that a held form is given back to nobody else."""
    response.set_signed_cookie(
        TYPIST_COOKIE,
        str(request.user.pk),
        salt=TYPIST,
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Lax",
    )


def typist_of(request: HttpRequest) -> int | None:
    """Who signed in last at this browser."""
    typist = request.get_signed_cookie(TYPIST_COOKIE, default=None, salt=TYPIST)
    return int(typist) if typist else None


def typist_mark(staff: Staff) -> str:
    """What a page carries to say whose typing it holds."""
    return signing.dumps(staff.pk, salt=TYPIST)


def whose_mark(mark: str) -> int | None:
    try:
        return signing.loads(mark, salt=TYPIST, max_age=MARK_LASTS)
    except signing.BadSignature:
        return None


def hold(typist: int | None, path: str, text: str, *, title: str = "") -> None:
    """Keep a form that came too late until its typist has signed in again; never one with a password."""
    fields = [
        (name, value)
        for name, value in parse_qsl(text, keep_blank_values=True)
        if name != "csrfmiddlewaretoken"
    ]
    if typist and not any("password" in name for name, _value in fields):
        HeldForm.objects.hold(typist, path, urlencode(fields), title=title)


def waits(request: HttpRequest) -> bool:
    """Whether a form waits for whoever signed in last at this browser."""
    typist = typist_of(request)
    return bool(typist) and HeldForm.objects.of(typist).exists()


def bring_back(request: HttpRequest) -> list[HeldForm]:
    """After signing in: note in the session which forms wait, so that no page has to look."""
    waiting = list(HeldForm.objects.of(request.user).defer("text"))
    request.session[HELD] = [held.path for held in waiting]
    return waiting


def is_held(request: HttpRequest, path: str) -> bool:
    """Whether a form of this address was brought back and has not been shown yet."""
    return path in request.session.get(HELD, [])


def typed(request: HttpRequest, path: str | None = None) -> QueryDict | None:
    """Return what was typed for this page (or the part of it at `path`), or None when it is opened fresh."""
    if request.method == "POST":
        return request.POST
    path = path or request.path
    if not is_held(request, path):
        return None
    request.session[HELD] = [other for other in request.session[HELD] if other != path]
    text = HeldForm.objects.give_back(request.user, path)
    return QueryDict(text) if text is not None else None
