"""An e-mail that the clinic sends: under its own name, and answered to its own address."""

from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMessage

from clinic.models import Clinic


def from_clinic(
    clinic: Clinic, *, to: str, subject: str, body: str, **headers: str
) -> EmailMessage:
    """Return the e-mail; a header is named with underscores, as Message_ID.

    Auto-Submitted keeps automatic answers away (RFC 3834, 5).
    """
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return EmailMessage(
        subject=subject,
        body=body,
        from_email=formataddr((" ".join(clinic.name.split()), settings.DEFAULT_FROM_EMAIL)),
        to=[to],
        reply_to=[clinic.email] if clinic.email else None,
        headers={"Auto-Submitted": "auto-generated"} | named,
    )
