"""E-mail to staff about their accounts: a link, how long it opens, and nothing else."""

import logging
from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMessage
from django.utils.translation import gettext as _

from clinic.models import Clinic, Invitation
from clinic.templatetags.clinic_tags import clock, written

log = logging.getLogger(__name__)


def send_invitation(invitation: Invitation, link: str) -> bool:
    """Send the link; whether the mail server took it."""
    told = {
        "who": invitation,
        "clinic": invitation.clinic.name,
        "link": link,
        "day": written(invitation.expires_at),
        "time": clock(invitation.expires_at),
    }
    body = _(
        "Hello %(who)s,\n\n"
        "%(clinic)s opens an account for you. Choose your name for signing in and your password here:\n\n"
        "%(link)s\n\n"
        "The link opens once, until %(day)s, %(time)s. Don't pass it on.\n"
        "If you don't know what this is about, throw it away: nothing happens.\n"
    )
    subject = _("Your account at %(clinic)s")
    return _sent(invitation.clinic, invitation.email, subject % told, body % told)


def _sent(clinic: Clinic, to: str, subject: str, body: str) -> bool:
    message = EmailMessage(
        subject=" ".join(subject.split()),
        body=body,
        from_email=formataddr((" ".join(clinic.name.split()), settings.DEFAULT_FROM_EMAIL)),
        to=[to],
        reply_to=[clinic.email] if clinic.email else None,
        # Keeps automatic answers away (RFC 3834, 5).
        headers={"Auto-Submitted": "auto-generated"},
    )
    try:
        return bool(message.send())
    except OSError as error:  # smtplib's errors are among them
        log.warning("An e-mail about an account was not sent: %s", type(error).__name__)
        return False
