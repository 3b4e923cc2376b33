"""What a patient is told by e-mail about an appointment: written with the booking, sent by a command."""

import datetime
from functools import cached_property

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.delivery import SENTENCES, Failure, Why
from cases.mail_words import Occasion
from cases.models.notice_query import NoticeQuerySet, Status
from cases.retries import last_try, next_try
from clinic.journal import Journaled
from clinic.models import ClinicOwned, Staff

LONGEST_FILLED_SUBJECT = 300


class Notice(ClinicOwned):
    """What one patient is told of one appointment: at most once an occasion and revision of the booking.

    Each is an e-mail of its own; those of one `series` that stand alike are one e-mail together.
    """

    belongs_to = "appointment"

    class About(models.TextChoices):
        BOOKED = Occasion.BOOKED.value, _("invitation")
        SERIES = Occasion.SERIES.value, _("invitation to a series")
        MOVED = Occasion.MOVED.value, _("new time")
        REMINDER = Occasion.REMINDER.value, _("reminder")
        CANCELLED = Occasion.CANCELLED.value, _("cancellation")

    Status = Status

    appointment = models.ForeignKey(
        "cases.Appointment", on_delete=models.PROTECT, related_name="notices"
    )
    occasion = models.CharField(_("about"), max_length=10, choices=About)
    sequence = models.PositiveSmallIntegerField(_("revision of the booking"))
    series = models.UUIDField(_("series"), null=True, editable=False)
    status = models.CharField(_("status"), max_length=10, choices=Status, default=Status.WAITING)
    why = models.CharField(_("why"), max_length=20, blank=True)
    answer = models.CharField(_("what the mail server said"), max_length=300, blank=True)
    tries = models.PositiveSmallIntegerField(_("tries"), default=0)
    written_at = models.DateTimeField(_("written"))
    due_at = models.DateTimeField(_("next try"))
    claimed_at = models.DateTimeField(null=True, editable=False)
    sent_at = models.DateTimeField(_("sent"), null=True, editable=False)
    sent_to = models.EmailField(_("to"), blank=True)
    subject = models.CharField(_("subject"), max_length=LONGEST_FILLED_SUBJECT, blank=True)
    body = models.TextField(_("text"), blank=True)
    settled_at = models.DateTimeField(_("told otherwise"), null=True, editable=False)
    settled_by = models.ForeignKey(
        Staff, null=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )

    objects = NoticeQuerySet.as_manager()

    class Meta:
        verbose_name = _("e-mail about an appointment")
        verbose_name_plural = _("e-mail about appointments")
        indexes = [
            # Whole: SQLite does not see that a status it is given would fit a part of it.
            models.Index(name="notice_to_send", fields=["status", "due_at"]),
            models.Index(name="notice_by_status", fields=["clinic", "status", "-written_at"]),
            models.Index(name="notice_by_clinic", fields=["clinic", "-written_at"]),
            models.Index(name="notice_by_series", fields=["series", "status"]),
        ]
        constraints = [
            models.UniqueConstraint(
                name="notice_once", fields=["appointment", "occasion", "sequence"]
            ),
            models.CheckConstraint(
                name="notice_series_named",
                condition=Q(occasion="series", series__isnull=False)
                | ~Q(occasion="series") & Q(series__isnull=True),
            ),
            models.CheckConstraint(
                name="notice_sent_somewhere",
                condition=~Q(status="sent") | Q(sent_at__isnull=False) & ~Q(sent_to=""),
            ),
            Journaled(name="notice_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.get_occasion_display()}, {self.appointment}"

    @cached_property
    def together(self) -> list["Notice"]:
        """Those that one e-mail says: itself, or all of its series that stand as it does."""
        if self.series is None:
            return [self]
        alike = Notice.objects.of_series(self.series).filter(status=self.status)
        return list(alike.with_people())

    @property
    def reason(self) -> str:
        """Why it was not sent, as a sentence to translate; empty where there is nothing to say."""
        return SENTENCES[Why(self.why)] if self.why else ""

    @property
    def last_try_at(self) -> datetime.datetime:
        return last_try(written=self.written_at, starts=self.appointment.starts_at)

    @property
    def is_failed(self) -> bool:
        return self.status == self.Status.FAILED

    @property
    def is_waiting(self) -> bool:
        return self.status == self.Status.WAITING

    @property
    def is_sent(self) -> bool:
        return self.status == self.Status.SENT

    def may_try_again(self, *, now: datetime.datetime) -> bool:
        """Whether another try makes sense: it is still needed, and the address is not known to be closed."""
        open_address = self.appointment.patient.may_be_mailed
        return self.is_failed and open_address and self.reason_to_drop(now=now) is None

    def reason_to_drop(self, *, now: datetime.datetime) -> Why | None:
        """Say why this need not be sent any more."""
        appointment = self.appointment
        if not appointment.patient.mail_agreed:
            return Why.TAKEN_BACK
        if self.sequence != appointment.sequence:
            return Why.OVERTAKEN
        off = not appointment.may_move and self.occasion != Occasion.CANCELLED
        return Why.OVER if off or appointment.starts_at <= now else None

    def mark_sent(self, *, at: datetime.datetime, to: str, subject: str, body: str) -> None:
        self.status, self.sent_at, self.sent_to, self.why = self.Status.SENT, at, to, ""
        self.subject, self.body, self.tries = subject, body, self.tries + 1
        columns = ["status", "sent_at", "sent_to", "why", "subject", "body", "tries"]
        self.save(update_fields=columns)

    def mark_failed(self, failure: Failure, *, at: datetime.datetime) -> None:
        """Wait for the next try, or give up after the last one or where another would fail alike."""
        self.tries, self.why, self.answer = self.tries + 1, failure.why, failure.answer
        again = next_try(tries=self.tries, now=at, last=self.last_try_at)
        self.status = self.Status.WAITING if failure.again and again else self.Status.FAILED
        self.due_at = again or at
        self.save(update_fields=["tries", "why", "answer", "status", "due_at"])

    def mark_dropped(self, why: Why) -> None:
        self.status, self.why = self.Status.DROPPED, why
        self.save(update_fields=["status", "why"])

    def try_again(self, *, at: datetime.datetime) -> None:
        """A person wants it sent once more, with the next run of the command."""
        self.status, self.due_at = self.Status.WAITING, at
        self.save(update_fields=["status", "due_at"])

    def settle(self, *, by: Staff, at: datetime.datetime) -> None:
        """The patient was told otherwise, by phone mostly."""
        self.status, self.settled_by, self.settled_at = self.Status.SETTLED, by, at
        self.save(update_fields=["status", "settled_by", "settled_at"])

    def came_back(self, *, at: datetime.datetime) -> None:
        """The e-mail was returned to the clinic: the patient has not read it, and would not read the next."""
        self.status, self.why = self.Status.FAILED, Why.CAME_BACK
        self.save(update_fields=["status", "why"])
        self.appointment.patient.refuse_mail(at=at)
