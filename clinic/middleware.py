"""When a session ends, signing in with what was typed kept, the clinic's time, what every answer carries."""

import contextlib
from typing import ClassVar

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.middleware.gzip import GZipMiddleware
from django.shortcuts import redirect, resolve_url
from django.utils import timezone
from django.utils.http import urlencode

from clinic.acting import acting
from clinic.audit import record
from clinic.database_file import file_in_place, is_in_a_file
from clinic.entering import lacks_second_factor, leave
from clinic.models.session import TOUCHED_EVERY
from clinic.trouble import MISSING
from clinic.typed import bring_back, hold, typist_of
from clinic.views.failures import unavailable


class DatabaseThere:
    """Without the file of the database no request goes on to open it, which would make an empty one."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if is_in_a_file(connection) and file_in_place() is None:
            return unavailable(request, MISSING)
        return self.get_response(request)


class SessionLimits:
    """Ends a session that nobody has used for a while or that has lasted its day, on every process alike.

    Only what a person does keeps it: a page opened or a form sent. What a page asks for by itself comes by
    htmx or goes to a view that is `unattended`; that somebody types it tells `clinic.views.session.stay`.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if getattr(request, "forget", False):
            response["Clear-Site-Data"] = '"cache", "storage"'
        return response

    def process_view(self, request, view_func, view_args, view_kwargs):
        if not request.user.is_authenticated:
            return
        row, now = request.session.row, timezone.now()
        if row.ends_at(request.user.clinic) <= now:
            record(request.user, "session ended")
            leave(request)
        elif _attended(request, view_func) and now - row.seen_at >= TOUCHED_EVERY:
            row.touch(now=now)


def _attended(request, view_func) -> bool:
    by_itself = request.headers.get("HX-Request") or getattr(view_func, "unattended", False)
    return not by_itself


class Acts:
    """What is written in a request is written down as done by whoever is signed in, with its number."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        with acting(request.user.pk, request.reference):
            return self.get_response(request)


class SignInRequired(LoginRequiredMiddleware):
    """Every view needs a signed-in person, save those that say otherwise; a form sent too late is held."""

    def handle_no_permission(self, request, view_func):
        if request.method == "POST":
            hold(typist_of(request), request.path, request.POST.urlencode())
        if request.headers.get("HX-Request"):
            query = urlencode({"next": request.htmx.current_url_abs_path or "/"})
            sign_in = resolve_url(self.get_login_url(view_func))
            return HttpResponse(headers={"HX-Redirect": f"{sign_in}?{query}"})
        return super().handle_no_permission(request, view_func)


class SecondFactorRequired:
    """Leads a manager who must sign in with a code, and did not, to setting one up, and nowhere else."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view_func, view_args, view_kwargs):
        if not lacks_second_factor(request) or getattr(view_func, "allowed", None) is None:
            return None
        if getattr(view_func, "before_second_factor", False):
            return None
        if request.method == "POST":
            hold(request.user.pk, request.path, request.POST.urlencode())
            bring_back(request)
        page = resolve_url("clinic:second_factor")
        if request.headers.get("HX-Request"):
            return HttpResponse(headers={"HX-Redirect": page})
        return redirect(page)


class ClinicTime:
    """Dates and times of a request are those of the clinic's own zone."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        known = request.user.is_authenticated
        with request.user.clinic.own_time() if known else contextlib.nullcontext():
            return self.get_response(request)


class Compressed(GZipMiddleware):
    """Sends text compressed to browsers that take it; PDF and ZIP are compressed already.

    A page shows what was typed beside its secret, the token against forged forms. Its length tells nothing of
    the token: that is masked anew for each answer (`CsrfViewMiddleware`), and Django's middleware adds up to
    100 random bytes (its documentation, "Heal The Breach").
    """

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        if not response.get("Content-Type", "").startswith(AS_TEXT):
            return response
        return super().process_response(request, response)


AS_TEXT = ("text/", "application/json", "image/svg+xml")

NOT_ASKED_FOR = (
    "accelerometer", "autoplay", "camera", "clipboard-read", "display-capture",
    "encrypted-media", "geolocation", "gyroscope", "hid", "idle-detection", "local-fonts", "magnetometer",
    "microphone", "midi", "payment", "picture-in-picture", "publickey-credentials-get",
    "screen-wake-lock", "serial", "usb", "xr-spatial-tracking",
)  # fmt: skip


class AnswerHeaders:
    """What each answer carries beside Django's own: pages, paper, errors and static files alike.

    Nothing is kept in a cache that doesn't ask for it itself, as static files do; no page of another site
    shows anything of this one (Fetch standard), and no page of this one asks for what a device can do
    (W3C Permissions Policy).
    """

    headers: ClassVar = {
        "Cache-Control": "no-store",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": ", ".join(f"{feature}=()" for feature in NOT_ASKED_FOR),
    }

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        for name, value in self.headers.items():
            response.headers.setdefault(name, value)
        return response
