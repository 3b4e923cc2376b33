"""What patients are told by e-mail, as the clinic asks for it: written, waiting, claimed, not reached."""

import datetime
import uuid
from collections.abc import Iterable
from typing import TYPE_CHECKING, Self

from django.db import models, transaction
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.delivery import Why
from cases.mail_words import Occasion
from cases.models.patient import Patient
from clinic.models import ClinicQuerySet

if TYPE_CHECKING:
    from cases.models.appointment import Appointment
    from cases.models.notice import Notice

# Longer than any answer is waited for: who has held a notice so long has stopped in the middle.
LONGEST_SENDING = datetime.timedelta(minutes=30)


class Status(models.TextChoices):
    """How far an e-mail is."""

    WAITING = "waiting", _("waiting")
    SENDING = "sending", _("being sent")
    SENT = "sent", _("sent")
    FAILED = "failed", _("not reached")
    DROPPED = "dropped", _("not needed")
    SETTLED = "settled", _("told otherwise")


class NoticeQuerySet(ClinicQuerySet):
    def with_people(self) -> Self:
        parts = ("patient", "practitioner", "clinic")
        return self.select_related(*(f"appointment__{part}" for part in parts), "settled_by")

    def newest_first(self) -> Self:
        return self.order_by("-written_at", "-pk")

    def soonest_first(self) -> Self:
        """By the time of the appointment: who comes first is called first."""
        return self.order_by("appointment__starts_at", "pk")

    def one_a_letter(self) -> Self:
        """Of a series that one e-mail tells of, the first of those found here stands for it."""
        same = self.filter(series=OuterRef("series"), status=OuterRef("status"))
        return self.filter(Q(series=None) | ~Exists(same.filter(pk__lt=OuterRef("pk"))))

    def of_series(self, series: uuid.UUID) -> Self:
        return self.filter(series=series).order_by("pk")

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
        return self.filter(status__in=[Status.WAITING, Status.FAILED])

    def unclaimed(self) -> Self:
        return self.filter(status=Status.WAITING)

    def failed(self) -> Self:
        return self.filter(status=Status.FAILED)

    def not_reached(self, *, now: datetime.datetime) -> Self:
        """Failures that somebody can still do something about."""
        return self.failed().filter(appointment__starts_at__gt=now)

    def waiting(self) -> Self:
        return self.filter(status__in=[Status.WAITING, Status.SENDING])

    def sent(self) -> Self:
        return self.filter(status=Status.SENT)

    def due(self, *, now: datetime.datetime) -> Self:
        return self.unclaimed().filter(due_at__lte=now).order_by("due_at", "pk")

    def drop(self, why: Why) -> int:
        return self.update(status=Status.DROPPED, why=why)

    def tell(
        self, appointment: "Appointment", *, series: uuid.UUID | None = None
    ) -> "Notice | None":
        """Write what the patient is to be told of a booking that is new, changed or cancelled.

        What is written of one `series` is sent as one e-mail.

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
        occasion = occasion_of(appointment, unheard=unheard)
        return self.create(
            appointment=appointment,
            occasion=Occasion.SERIES if series else occasion,
            series=series,
            sequence=appointment.sequence,
            **beginning(appointment.patient, at=now),
        )

    def heard(self) -> Self:
        """What the patient has read, or may have."""
        silent = [Status.WAITING, Status.FAILED, Status.DROPPED]
        return self.exclude(Q(status__in=silent) & ~Q(why=Why.INTERRUPTED))

    def answered_again(self, patient: Patient) -> None:
        """After a new answer about e-mail or another address: no more of it, or what failed once again."""
        mine = self.about_patient(patient)
        if not patient.mail_agreed:
            mine.unsent().drop(Why.TAKEN_BACK)
        elif patient.may_be_mailed:
            failed = mine.not_reached(now=timezone.now()).exclude(why=Why.INTERRUPTED)
            failed.update(status=Status.WAITING, due_at=timezone.now(), tries=0)

    def give_up_interrupted(self, *, now: datetime.datetime) -> int:
        """Whoever was sending these has stopped. They may have gone out, so a person decides."""
        stale = self.filter(status=Status.SENDING, claimed_at__lt=now - LONGEST_SENDING)
        return stale.update(status=Status.FAILED, why=Why.INTERRUPTED)

    def claim(self, pk: int, *, now: datetime.datetime) -> "Notice | None":
        """Take a notice for sending, with what is due of its series, or None when another process has it.

        The rows are locked in one order, so that two who want the same series take it one after the other.
        """
        series = self.filter(pk=pk).values("series")
        due = self.due(now=now).filter(Q(pk=pk) | Q(series__in=series)).order_by("pk")
        with transaction.atomic():
            free = [one.pk for one in due.select_for_update(of=("self",), no_key=True)]
            if pk not in free:
                return None
            mine = self.filter(pk__in=free)
            mine.update(status=Status.SENDING, claimed_at=now)
        return leading(mine.with_people().soonest_first())


def leading(notices: Iterable["Notice"]) -> "Notice | None":
    """The first of those that are sent together, which knows the others; None of none."""
    together = list(notices)
    for first in together[:1]:
        first.together = together
        return first
    return None


def occasion_of(appointment: "Appointment", *, unheard: bool) -> Occasion:
    if appointment.is_cancelled:
        return Occasion.CANCELLED
    return Occasion.BOOKED if unheard or not appointment.sequence else Occasion.MOVED


def beginning(patient: Patient, *, at: datetime.datetime) -> dict[str, object]:
    """How a notice begins: waiting, or at once not reached where the address let nothing in before."""
    written = {"written_at": at, "due_at": at}
    if patient.may_be_mailed:
        return written | {"status": Status.WAITING}
    return written | {"status": Status.FAILED, "why": Why.REFUSED_BEFORE}
