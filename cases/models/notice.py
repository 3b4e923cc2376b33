"""What a patient is told by e-mail about an appointment: written with the booking, sent by a command."""

import datetime
from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.delivery import SENTENCES, Failure, Why
from cases.mail_words import Occasion
from cases.models.patient import Patient
from cases.retries import last_try, next_try
from clinic.models import ClinicOwned, ClinicQuerySet, Staff

if TYPE_CHECKING:
    from cases.models.appointment import Appointment

LONGEST_FILLED_SUBJECT = 300
# Longer than any answer is waited for: who has held a notice so long has stopped in the middle.
LONGEST_SENDING = datetime.timedelta(minutes=30)


class NoticeQuerySet(ClinicQuerySet):
    def with_people(self) -> Self:
        parts = ("patient", "practitioner", "clinic")
        return self.select_related(*(f"appointment__{part}" for part in parts), "settled_by")

    def newest_first(self) -> Self:
        return self.order_by("-written_at", "-pk")

    def soonest_first(self) -> Self:
        """By the time of the appointment: who comes first is called first."""
        return self.order_by("appointment__starts_at", "pk")

    def about_patient(self, patient: Patient) -> Self:
        return self.filter(appointment__patient=patient)

    def whose_patient_is_named(self, text: str) -> Self:
        found = Patient.objects.named(text)
        return self.filter(appointment__patient__in=found) if text.strip() else self

    def now_about(self, appointment: "Appointment") -> "Notice | None":
        """The last that was written about the booking as it stands."""
        about = self.filter(appointment=appointment, sequence=appointment.sequence)
        return about.newest_first().first()

    def unsent(self) -> Self:
        return self.filter(status__in=[Notice.Status.WAITING, Notice.Status.FAILED])

    def unclaimed(self) -> Self:
        return self.filter(status=Notice.Status.WAITING)

    def failed(self) -> Self:
        return self.filter(status=Notice.Status.FAILED)

    def not_reached(self, *, now: datetime.datetime) -> Self:
        """Failures that somebody can still do something about."""
        return self.failed().filter(appointment__starts_at__gt=now)

    def waiting(self) -> Self:
        return self.filter(status__in=[Notice.Status.WAITING, Notice.Status.SENDING])

    def sent(self) -> Self:
        return self.filter(status=Notice.Status.SENT)

    def due(self, *, now: datetime.datetime) -> Self:
        return self.unclaimed().filter(due_at__lte=now).order_by("due_at", "pk")

    def drop(self, why: Why) -> int:
        return self.update(status=Notice.Status.DROPPED, why=why)

    def tell(self, appointment: "Appointment") -> "Notice | None":
        """Write what the patient is to be told of a booking that is new, changed or cancelled.

        Runs in the transaction of that change. What was not sent yet is overtaken by it. Where the patient
        has read nothing, a change is still an invitation; and where nobody was asked to call either, because
        it only waited to be sent, a cancellation is nothing to tell.
        """
        about, now = self.filter(appointment=appointment), timezone.now()
        waited = about.unclaimed().drop(Why.OVERTAKEN)
        heard = about.heard().exists()  # after the line above: what it did not get is being sent
        failed = about.failed().drop(Why.OVERTAKEN)
        unheard = bool(waited or failed) and not heard
        if appointment.is_cancelled and unheard and not failed:
            return None
        if not appointment.patient.mail_agreed or appointment.starts_at <= now:
            return None
        return self.create(
            appointment=appointment,
            occasion=occasion_of(appointment, unheard=unheard),
            sequence=appointment.sequence,
            **beginning(appointment.patient, at=now),
        )

    def heard(self) -> Self:
        """What the patient has read, or may have."""
        silent = [Notice.Status.WAITING, Notice.Status.FAILED, Notice.Status.DROPPED]
        return self.exclude(Q(status__in=silent) & ~Q(why=Why.INTERRUPTED))

    def answered_again(self, patient: Patient) -> None:
        """After a new answer about e-mail or another address: no more of it, or what failed once again."""
        mine = self.about_patient(patient)
        if not patient.mail_agreed:
            mine.unsent().drop(Why.TAKEN_BACK)
        elif patient.may_be_mailed:
            failed = mine.not_reached(now=timezone.now()).exclude(why=Why.INTERRUPTED)
            failed.update(status=Notice.Status.WAITING, due_at=timezone.now(), tries=0)

    def give_up_interrupted(self, *, now: datetime.datetime) -> int:
        """Whoever was sending these has stopped. They may have gone out, so a person decides."""
        stale = self.filter(status=Notice.Status.SENDING, claimed_at__lt=now - LONGEST_SENDING)
        return stale.update(status=Notice.Status.FAILED, why=Why.INTERRUPTED)

    def claim(self, pk: int, *, now: datetime.datetime) -> "Notice | None":
        """Take a notice for sending, or None when another process has it: one statement decides."""
        free = self.due(now=now).filter(pk=pk).order_by()
        if not free.update(status=Notice.Status.SENDING, claimed_at=now):
            return None
        return self.with_people().get(pk=pk)


def occasion_of(appointment: "Appointment", *, unheard: bool) -> Occasion:
    if appointment.is_cancelled:
        return Occasion.CANCELLED
    return Occasion.BOOKED if unheard or not appointment.sequence else Occasion.MOVED


def beginning(patient: Patient, *, at: datetime.datetime) -> dict[str, object]:
    """How a notice begins: waiting, or at once not reached where the address let nothing in before."""
    written = {"written_at": at, "due_at": at}
    if patient.may_be_mailed:
        return written | {"status": Notice.Status.WAITING}
    return written | {"status": Notice.Status.FAILED, "why": Why.REFUSED_BEFORE}


class Notice(ClinicOwned):
    """One e-mail about one appointment: at most one an occasion and revision of the booking."""

    belongs_to = "appointment"

    class About(models.TextChoices):
        BOOKED = Occasion.BOOKED.value, _("invitation")
        MOVED = Occasion.MOVED.value, _("new time")
        REMINDER = Occasion.REMINDER.value, _("reminder")
        CANCELLED = Occasion.CANCELLED.value, _("cancellation")

    class Status(models.TextChoices):
        WAITING = "waiting", _("waiting")
        SENDING = "sending", _("being sent")
        SENT = "sent", _("sent")
        FAILED = "failed", _("not reached")
        DROPPED = "dropped", _("not needed")
        SETTLED = "settled", _("told otherwise")

    appointment = models.ForeignKey(
        "cases.Appointment", on_delete=models.PROTECT, related_name="notices"
    )
    occasion = models.CharField(_("about"), max_length=10, choices=About)
    sequence = models.PositiveSmallIntegerField(_("revision of the booking"))
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
        ]
        constraints = [
            models.UniqueConstraint(
                name="notice_once", fields=["appointment", "occasion", "sequence"]
            ),
            models.CheckConstraint(
                name="notice_sent_somewhere",
                condition=~Q(status="sent") | Q(sent_at__isnull=False) & ~Q(sent_to=""),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_occasion_display()}, {self.appointment}"

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
