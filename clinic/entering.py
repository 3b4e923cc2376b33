"""Signing somebody in, once it is certain who it is; and from where they come."""

from django.contrib.auth import login
from django.http import HttpRequest
from django.utils import timezone

from clinic.audit import record
from clinic.models import OpenSession, Staff
from clinic.typed import bring_back

# The first that fits: many browsers name others beside themselves.
BROWSERS = {"Edg": "Edge", "OPR": "Opera", "Firefox": "Firefox", "FxiOS": "Firefox", "Chrom": "Chrome",
            "CriOS": "Chrome", "Safari": "Safari"}  # fmt: skip
MACHINES = {"iPhone": "iPhone", "iPad": "iPad", "Android": "Android", "Windows": "Windows",
            "Mac OS": "macOS", "CrOS": "ChromeOS", "Linux": "Linux"}  # fmt: skip


def enter(request: HttpRequest, staff: Staff) -> None:
    """Begin a session of its own for `staff`; forms that they sent too late wait in it."""
    login(request, staff)
    request.session["seen_from"] = seen_from(request)
    bring_back(request)
    OpenSession.objects.of(staff).over(staff.clinic, now=timezone.now()).delete()
    record(staff, "signed in")


def seen_from(request: HttpRequest) -> tuple[str, str]:
    """The address of the machine and a short name of the browser."""
    return request.META.get("REMOTE_ADDR", ""), in_short(request.headers.get("User-Agent", ""))


def in_short(agent: str) -> str:
    """Return "Firefox on Windows" for what a browser says of itself; what is not known is left out."""
    found = (
        next((word for sign, word in names.items() if sign in agent), "")
        for names in (BROWSERS, MACHINES)
    )
    return " on ".join(filter(None, found))
