"""E-mail to staff about their accounts: a link, how long it opens, and nothing else."""

import logging
from collections.abc import Callable
from datetime import datetime
from email.utils import formataddr

from django.conf import settings
from django.core.mail import EmailMessage
from django.utils.translation import gettext as _

from clinic.models import Clinic, Invitation, ResetRequest
from clinic.reset_links import reset_path
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


def send_resets(*, clock: Callable[[], datetime]) -> tuple[int, int]:
    """Send each link that was asked for; how many went out, and how many must be tried again."""
    sent = failed = 0
    for pk in list(ResetRequest.objects.waiting().values_list("pk", flat=True)):
        if not (asked := ResetRequest.objects.claim(pk, now=clock())):
            continue
        if _send_reset(asked):
            sent += 1
        else:
            asked.wait_again()
            failed += 1
    return sent, failed


def _send_reset(asked: ResetRequest) -> bool:
    staff = asked.staff
    told = {
        "who": staff,
        "clinic": staff.clinic.name,
        "link": asked.origin + reset_path(staff),
        "hours": settings.PASSWORD_RESET_TIMEOUT // 3600,
    }
    body = _(
        "Hello %(who)s,\n\n"
        "a new password was asked for, for your account at %(clinic)s. Choose it here:\n\n"
        "%(link)s\n\n"
        "The link opens once and for %(hours)s hours. Don't pass it on.\n"
        "If it was not you who asked, throw this away: your password stays as it is.\n"
    )
    subject = _("A new password at %(clinic)s")
    return _sent(staff.clinic, staff.email, subject % told, body % told)


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
