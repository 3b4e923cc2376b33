"""E-mail to staff about their accounts: a link, or what was changed, and nothing else."""

import logging
from collections.abc import Callable
from datetime import datetime

from django.conf import settings
from django.utils.translation import gettext as _

from clinic.models import AccountNews, Clinic, Invitation, ResetRequest
from clinic.models.outgoing import Outgoing
from clinic.outgoing_mail import from_clinic
from clinic.reset_links import reset_path
from clinic.templatetags.clinic_tags import clock, written
from clinic.wording import gettext_noop as _n

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


def send_waiting(*, clock: Callable[[], datetime]) -> tuple[int, int]:
    """Send the links that were asked for and the news; how many went out, how many must be tried again."""
    tally = [
        _sent_waiting(kind, send, clock=clock)
        for kind, send in ((ResetRequest, _send_reset), (AccountNews, _send_news))
    ]
    return sum(sent for sent, _failed in tally), sum(failed for _sent, failed in tally)


def _sent_waiting(
    kind: type[Outgoing], send: Callable[[Outgoing], bool], *, clock: Callable[[], datetime]
) -> tuple[int, int]:
    sent = failed = 0
    for pk in list(kind.objects.waiting().order_by("pk").values_list("pk", flat=True)):
        if not (row := kind.objects.claim(pk, now=clock())):
            continue
        if send(row):
            sent += 1
        else:
            row.wait_again()
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


NEWS = {
    AccountNews.About.PASSWORD: _n("the password of your account at %(clinic)s was changed"),
    AccountNews.About.CHOSEN: _n(
        "a new password was chosen for your account at %(clinic)s, behind a link"
    ),
    AccountNews.About.EMAIL: _n(
        "a manager gave your account at %(clinic)s another e-mail address than this one"
    ),
    AccountNews.About.FACTOR_ON: _n(
        "a second factor was set up for your account at %(clinic)s: signing in takes a code, too"
    ),
    AccountNews.About.FACTOR_OFF: _n(
        "the second factor of your account at %(clinic)s was switched off: the password alone opens it"
    ),
    AccountNews.About.FACTOR_GONE: _n(
        "a manager removed the second factor of your account at %(clinic)s: the password alone opens it"
    ),
    AccountNews.About.CODES: _n(
        "the recovery codes of your account at %(clinic)s were made anew: the old ones open nothing"
    ),
}


def _send_news(news: AccountNews) -> bool:
    staff = news.staff
    with staff.clinic.own_time():
        told = {"who": staff, "day": written(news.at), "time": clock(news.at)}
    told["what"] = _(NEWS[AccountNews.About(news.about)]) % {"clinic": staff.clinic.name}
    body = _(
        "Hello %(who)s,\n\n"
        "on %(day)s at %(time)s %(what)s.\n\n"
        "If you know of this, there is nothing to do.\n"
        "If not, somebody else may have your account: tell a manager at once, who can close it. "
        "There is no link in this e-mail; open the page as you always do.\n"
    )
    subject = _("Your account at %(clinic)s was changed") % {"clinic": staff.clinic.name}
    return _sent(staff.clinic, news.to, subject, body % told)


def _sent(clinic: Clinic, to: str, subject: str, body: str) -> bool:
    message = from_clinic(clinic, to=to, subject=" ".join(subject.split()), body=body)
    try:
        return bool(message.send())
    except OSError as error:  # smtplib's errors are among them
        log.warning("An e-mail about an account was not sent: %s", type(error).__name__)
        return False
