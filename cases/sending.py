"""Sends the notices that wait, one after the other; any number of processes may do it at once."""

import logging
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from django.core.mail import get_connection
from django.db import transaction

from cases.delivery import Failure, Why, failure_of
from cases.mail import letter_of, message_of
from cases.models import Notice
from cases.models.notice_query import leading

log = logging.getLogger(__name__)


@dataclass
class Tally:
    """What came of one round; `trouble` is why it ended early."""

    sent: int = 0
    waiting: int = 0
    failed: int = 0
    dropped: int = 0
    trouble: Failure | None = None


def send_due(*, clock: Callable[[], datetime]) -> Tally:
    """Send what is due. Ends early when the clinic's own mail server is the trouble: all would fail alike."""
    tally, connection = Tally(), get_connection()
    tally.failed += Notice.objects.give_up_interrupted(now=clock())
    for claimed in _claimed(clock):
        notice = _needed(claimed, tally, clock)
        if notice is None:
            continue
        if failure := _send(notice, connection, clock):
            _fail(notice, failure, tally, at=clock())
            if failure.everybody:
                break
        else:
            tally.sent += 1
    with suppress(OSError):  # everything is handed over already
        connection.close()
    return tally


def _claimed(clock: Callable[[], datetime]) -> Iterator[Notice]:
    for pk in list(Notice.objects.due(now=clock()).values_list("pk", flat=True)):
        if notice := Notice.objects.claim(pk, now=clock()):
            yield notice


def _needed(claimed: Notice, tally: Tally, clock: Callable[[], datetime]) -> Notice | None:
    """Drop what need not be sent any more, and return what is left of the e-mail."""
    needed = []
    for notice in claimed.together:
        if why := notice.reason_to_drop(now=clock()):
            notice.mark_dropped(why)
            tally.dropped += 1
        else:
            needed.append(notice)
    return leading(needed)


def _send(notice: Notice, connection, clock: Callable[[], datetime]) -> Failure | None:
    """Hand one notice over to the mail server, and say what went wrong if it did not take it."""
    try:
        letter = letter_of(notice)
        message = message_of(notice, letter)
        connection.open()
        connection.send_messages([message])
    except Exception as error:
        failure = failure_of(error)
        if failure.why is Why.UNMADE:
            log.exception("Notice %s could not be put together.", notice.pk)
        with suppress(OSError):
            # A server may hang up after a refusal; the next notice gets a connection of its own.
            connection.close()
        return failure
    sent = {"to": message.to[0], "subject": letter.subject, "body": letter.body}
    with transaction.atomic():
        for one in notice.together:
            one.mark_sent(at=clock(), **sent)
    return None


@transaction.atomic
def _fail(notice: Notice, failure: Failure, tally: Tally, *, at: datetime) -> None:
    for one in notice.together:
        one.mark_failed(failure, at=at)
    if failure.why is Why.ADDRESS and not failure.again:
        notice.appointment.patient.refuse_mail(at=at)
    if any(one.is_failed for one in notice.together):
        tally.failed += 1
    else:
        tally.waiting += 1
    tally.trouble = failure if failure.everybody else tally.trouble
