"""What every page shows around its own matter."""

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from clinic.roles import Capability


def navigation(request: HttpRequest) -> dict:
    """The clinic and the main pages that the signed-in person may open."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"nav": []}
    pages = [
        ("cases:day", _("Today"), Capability.SEE_CLINIC),
        ("cases:patients", _("Patients"), Capability.REGISTER),
        ("cases:book", _("Book"), Capability.BOOK),
        ("rehab:due", _("Due"), Capability.BOOK),
        ("rehab:caseload", _("Caseload"), Capability.READ_CLINICAL),
        ("rehab:thresholds", _("Thresholds"), Capability.MANAGE),
        ("clinic:audit", _("Audit"), Capability.READ_AUDIT),
        ("clinic:clinic", _("Clinic"), Capability.MANAGE),
        ("cases:mail", _("E-mail"), Capability.BOOK),
    ]
    nav = [
        (
            reverse(name),
            label,
            request.path.startswith(reverse(name))
            if name != "cases:day"
            else request.path == reverse(name),
        )
        for name, label, needed in pages
        if request.user.may(needed)
    ]
    return {"nav": nav, "clinic": request.user.clinic}
