"""What is kept of an attempt to sign in: for whom, from where, and what came of it."""

from django.http import HttpRequest

from clinic.address import seen_from
from clinic.forms import SignInForm
from clinic.models import Clinic, SignIn, Staff


def note(request: HttpRequest, outcome: SignIn.Outcome, staff: Staff | None) -> None:
    """Keep the attempt. One for a name that nobody has is the clinic's where there is no other clinic."""
    address, browser = seen_from(request)
    SignIn.objects.create(
        staff=staff,
        clinic=staff.clinic if staff else _only_clinic(),
        outcome=outcome,
        address=address or None,
        browser=browser,
    )


def note_wrong_password(request: HttpRequest, form: SignInForm) -> None:
    """Keep that a password was wrong. While a name has to wait, none is looked at and nothing is kept.

    A name that nobody has is not kept itself: people type a password there by mistake. The attempt is kept,
    because a known name may not take longer than an unknown one.
    """
    if getattr(request, "axes_failures_since_start", None):
        name = form.cleaned_data["username"]
        note(request, SignIn.Outcome.PASSWORD, Staff.objects.called(name))


def _only_clinic() -> Clinic | None:
    clinics = list(Clinic.objects.all()[:2])
    return clinics[0] if len(clinics) == 1 else None
