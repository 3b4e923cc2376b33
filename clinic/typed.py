"""What was typed into a form: sent now, or sent too late and held until signing in again."""

from django.conf import settings
from django.http import HttpRequest, QueryDict

TYPIST_COOKIE = "typist"
HELD = "held_form"
LONGEST = (
    200_000  # characters; a held form waits in the session table, so it may not grow without end
)


def remember_typist(request: HttpRequest, response) -> None:
    """Leave a signed note of who signed in, so that a held form is given back to nobody else."""
    response.set_signed_cookie(
        TYPIST_COOKIE,
        str(request.user.pk),
        salt=TYPIST_COOKIE,
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Lax",
    )


def hold(request: HttpRequest) -> None:
    """Keep a form that arrived without a session until its typist has signed in again; never a password."""
    if any("password" in name for name in request.POST):
        return
    typist = request.get_signed_cookie(TYPIST_COOKIE, default=None, salt=TYPIST_COOKIE)
    text = request.POST.urlencode()
    if typist and len(text) <= LONGEST:
        request.session[HELD] = {"path": request.path, "typist": typist, "text": text}


def typed(request: HttpRequest, path: str | None = None) -> QueryDict | None:
    """Return what was typed for this page (or the part of it at `path`), or None when it is opened fresh."""
    if request.method == "POST":
        return request.POST
    held = request.session.get(HELD)
    if not held or held["path"] != (path or request.path) or held["typist"] != str(request.user.pk):
        return None
    del request.session[HELD]
    return QueryDict(held["text"])
