"""What every page shows around its own matter."""

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from clinic.entering import lacks_second_factor
from clinic.roles import Capability
from clinic.typed import typist_mark
from clinic.views.session import state

# Pages that are reached from a main page without lying under its address.
BELOW = {
    "cases:patients": ("cases:imports",),
    "cases:book": ("rehab:packs",),
    "rehab:caseload": ("rehab:research", "rehab:case_exports", "rehab:catalog"),
    "clinic:clinic": (
        "clinic:staff",
        "clinic:backups",
        "cases:displays",
        "rehab:corrections",
        "rehab:records_due",
        "rehab:records_erased",
    ),
}


def navigation(request: HttpRequest) -> dict:
    """The clinic and the main pages that the signed-in person may open."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"nav": []}
    if lacks_second_factor(request):
        return {"nav": [], "clinic": request.user.clinic}
    pages = [
        ("cases:day", _("Today"), Capability.SEE_CLINIC),
        ("cases:patients", _("Patients"), Capability.REGISTER),
        ("cases:book", _("Book"), Capability.BOOK),
        ("rehab:due", _("Due"), Capability.BOOK),
        ("rehab:caseload", _("Caseload"), Capability.READ_CLINICAL),
        ("rehab:thresholds", _("Thresholds"), Capability.MANAGE),
        ("cases:audit", _("Audit"), Capability.READ_AUDIT),
        ("clinic:clinic", _("Clinic"), Capability.MANAGE),
        ("cases:mail", _("E-mail"), Capability.BOOK),
    ]
    nav = [
        (reverse(name), label, _is_current(name, request.path))
        for name, label, needed in pages
        if request.user.may(needed)
    ]
    return {"nav": nav, "clinic": request.user.clinic}


def _is_current(name: str, path: str) -> bool:
    """Whether the page of that path is the main page `name` or belongs to it."""
    if name == "cases:day":  # its address begins every other
        return path == reverse(name)
    return any(path.startswith(reverse(one)) for one in (name, *BELOW.get(name, ())))


def session_end(request: HttpRequest) -> dict:
    """What a page needs to warn of the end of its session, and whose typing it would bring into safety."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {}
    return {"session": state(request), "typist": typist_mark(request.user)}
