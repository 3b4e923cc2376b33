"""Signing somebody in, once it is certain who it is; and from where they come."""

from urllib.parse import urlsplit

from django.contrib import messages
from django.contrib.auth import login, logout
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.utils.translation import gettext

from clinic.address import seen_from
from clinic.audit import record
from clinic.models import HeldForm, OpenSession, SignIn, Staff
from clinic.sign_in_history import note
from clinic.typed import bring_back

BACKEND = "clinic.signing_in.StaffBackend"
HALF_WAY, HALF_WAY_S = "half_way", 5 * 60  # seconds between the password and the code
BY_CODE = "by_code"  # in the session: whether a code was given, too


def enter(request: HttpRequest, staff: Staff, *, onward: str, by_code: bool = False) -> None:
    """Begin a session of its own for `staff`; forms that they sent too late wait in it."""
    request.session.pop(HALF_WAY, None)
    login(request, staff, backend=BACKEND)
    request.session[BY_CODE] = by_code
    request.session["seen_from"] = seen_from(request)
    _tell(request, bring_back(request), onward)
    OpenSession.objects.of(staff).over(staff.clinic, now=timezone.now()).delete()
    record(staff, "signed in")
    note(request, SignIn.Outcome.IN, staff)


def _tell(request: HttpRequest, waiting: list[HeldForm], onward: str) -> None:
    """Name the other pages on which something typed waits: the one that comes next shows it by itself."""
    others = {held.title for held in waiting if held.path != urlsplit(onward).path} - {""}
    if others:
        told = gettext("What you typed waits, filled in, on these pages too: %(pages)s.")
        messages.info(request, told % {"pages": "; ".join(sorted(others))})


def leave(request: HttpRequest) -> None:
    """End the session here and now; the answer tells the browser to forget what it has kept of this site.

    Not its cookies: one of them says whose a form is that another window sends too late.
    """
    logout(request)
    request.forget = True


def end_others(request: HttpRequest) -> None:
    """End the person's sessions at other machines: they began by other means than those that hold now."""
    request.user.live_sessions().but(request.session.session_key).delete()


def go_half_way(request: HttpRequest, staff: Staff, *, onward: str) -> None:
    """The password was right: remember for whom the code is asked, in a session that is still nobody's."""
    request.session.cycle_key()
    request.session[HALF_WAY] = {
        "staff": staff.pk,
        "hash": staff.get_session_auth_hash(),
        "at": timezone.now().timestamp(),
        "onward": onward,
    }


def half_way(request: HttpRequest) -> tuple[Staff | None, str]:
    """Who gave the password a short while ago, and where to go on; one changed since does not count."""
    kept = request.session.get(HALF_WAY)
    if not kept or timezone.now().timestamp() - kept["at"] > HALF_WAY_S:
        return None, ""
    staff = Staff.objects.filter(pk=kept["staff"], is_active=True).first()
    same = staff and constant_time_compare(kept["hash"], staff.get_session_auth_hash())
    return (staff, kept["onward"]) if same else (None, "")


def lacks_second_factor(request: HttpRequest) -> bool:
    """Whether this person has to sign in with a code and did not."""
    user = request.user
    return user.is_authenticated and user.needs_second_factor and not request.session.get(BY_CODE)
