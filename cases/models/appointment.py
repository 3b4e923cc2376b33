"""The appointment book."""

import datetime
import uuid

from django.db import models, transaction
from django.db.models import F, Q
from django.db.models.lookups import LessThanOrEqual
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.appointment_query import MARKS, AppointmentQuerySet, Status, slot_taken
from cases.models.case import Case
from cases.models.notice import Notice
from cases.models.patient import Patient
from clinic.constraints import NoOverlap
from clinic.journal import Journaled
from clinic.models import ClinicOwned, Staff
from clinic.models.clinic import LONGEST
from clinic.revision import RaisesRevision
from clinic.sql import MinutesBetween


class Appointment(ClinicOwned):
    """A patient's time with one practitioner."""

    belongs_to = "practitioner"

    class Kind(models.TextChoices):
        FIRST = "first", _("first visit")
        FOLLOW_UP = "follow-up", _("follow-up")
        REVIEW = "review", _("review")
        DISCHARGE = "discharge", _("discharge")

    Status = Status

    MARKS = MARKS

    # What a patient must be told again when it changes.
    TOLD = ("starts_at", "ends_at", "practitioner_id")

    patient = models.ForeignKey(
        Patient, on_delete=models.PROTECT, related_name="appointments", verbose_name=_("patient")
    )
    case = models.ForeignKey(
        Case, null=True, blank=True, on_delete=models.PROTECT, related_name="appointments"
    )
    practitioner = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="appointments", verbose_name=_("with")
    )
    kind = models.CharField(_("kind"), max_length=10, choices=Kind, default=Kind.FOLLOW_UP)
    starts_at = models.DateTimeField(_("starts"))
    ends_at = models.DateTimeField(_("ends"))
    status = models.CharField(_("status"), max_length=10, choices=Status, default=Status.BOOKED)
    arrived_at = models.DateTimeField(_("arrived"), null=True, blank=True, editable=False)
    cancel_reason = models.CharField(_("why cancelled"), max_length=200, blank=True)
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True, editable=False)
    sequence = models.PositiveSmallIntegerField(
        _("revision in calendars"), default=0, editable=False
    )

    objects = AppointmentQuerySet.as_manager()

    class Meta:
        verbose_name = _("appointment")
        verbose_name_plural = _("appointments")
        indexes = [
            models.Index(name="appointment_by_practitioner", fields=["practitioner", "ends_at"]),
            models.Index(name="appointment_by_day", fields=["clinic", "starts_at"]),
            models.Index(name="appointment_by_case", fields=["case", "starts_at"]),
            # Missed visits are counted from the index alone.
            models.Index(name="appointment_kept", fields=["clinic", "status", "starts_at", "case"]),
        ]
        constraints = [
            models.CheckConstraint(
                name="appointment_ends_after_start",
                condition=Q(ends_at__gt=F("starts_at")),
                violation_error_message=_("An appointment can't end before it starts."),
            ),
            models.CheckConstraint(
                # Half a minute of grace: SQLite reckons in fractions of days.
                name="appointment_within_four_hours",
                condition=LessThanOrEqual(MinutesBetween("starts_at", "ends_at"), LONGEST + 0.5),
                violation_error_message=_("An appointment takes at most 240 minutes."),
            ),
            NoOverlap(
                name="practitioner_double_booked",
                resource="practitioner",
                start="starts_at",
                end="ends_at",
                unless=("status", "cancelled"),
                violation_error_message=_("The practitioner is already booked then."),
            ),
            RaisesRevision(name="appointment_raises_revision"),
            Journaled(name="appointment_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.patient}, {self.starts_at:%Y-%m-%d %H:%M}"

    def keep(self, *, series: uuid.UUID | None = None) -> None:
        """Save a new or moved appointment and write what the patient is to be told, or raise SlotTaken.

        What is new of one `series` is told in one e-mail.

        The constraint decides; the row lock only keeps PostgreSQL from deadlocking over it. It leaves the key
        free (no_key), so that rows which name the same person, as the audit trail does, don't wait for it.
        """
        with slot_taken(), transaction.atomic():
            Staff.objects.select_for_update(of=("self",), no_key=True).get(pk=self.practitioner_id)
            revised = self._revise()
            self.save()
            if revised:
                Notice.objects.tell(self, series=series)

    def _revise(self) -> bool:
        """Count the revision that calendars tell a moved booking by (RFC 5545, 3.8.7.4), from 0 on.

        Returns whether there is something to tell: the booking is new, or not as it is on record.
        """
        rows = Appointment.objects.filter(pk=self.pk) if self.pk else Appointment.objects.none()
        for sequence, *told in rows.values_list("sequence", *self.TOLD):
            changed = told != [getattr(self, name) for name in self.TOLD]
            self.sequence = sequence + changed
            return changed
        return True

    @property
    def day(self) -> datetime.date:
        return timezone.localdate(self.starts_at)

    @property
    def minutes(self) -> int:
        return int((self.ends_at - self.starts_at).total_seconds()) // 60

    @property
    def is_cancelled(self) -> bool:
        return self.status == self.Status.CANCELLED

    @property
    def may_cancel(self) -> bool:
        return self.status in (self.Status.BOOKED, self.Status.ARRIVED)

    @property
    def may_move(self) -> bool:
        return self.status == self.Status.BOOKED

    @property
    def may_change_length(self) -> bool:
        return self.status in (self.Status.BOOKED, self.Status.ARRIVED)

    def refusal_to_change(self, *, start: bool) -> str | None:
        """Say why the length, or also the start, can't be changed; None when it can."""
        if self.may_move or (self.may_change_length and not start):
            return None
        told = {"status": self.get_status_display()}
        return _("It can't be moved any more: it is marked as %(status)s.") % told

    def refusal_to_mark(self, status: "Appointment.Status", *, today: datetime.date) -> str | None:
        """Say why the appointment can't get this status, or None when it can."""
        if self.is_cancelled:
            return _("A cancelled appointment stays cancelled. Book a new one.")
        if status != self.Status.BOOKED and self.day > today:
            return _("This appointment is still to come. Mark it on its day.")
        return None

    @property
    def minutes_waited(self) -> int | None:
        """Since the patient arrived; None when nobody has noted when that was."""
        if self.status != self.Status.ARRIVED or self.arrived_at is None:
            return None
        return int((timezone.now() - self.arrived_at).total_seconds()) // 60

    def mark(self, status: "Appointment.Status") -> None:
        if status == self.Status.ARRIVED and self.status != status:
            self.arrived_at = timezone.now()
        elif status in (self.Status.BOOKED, self.Status.MISSED):
            self.arrived_at = None
        self.status = status
        self.save(update_fields=["status", "arrived_at"])

    @transaction.atomic
    def cancel(self, *, reason: str) -> None:
        self.status, self.cancel_reason = self.Status.CANCELLED, reason
        self.cancelled_at = timezone.now()
        self.sequence += 1  # RFC 5546, 3.2.5: a cancellation raises it too
        self.save(update_fields=["status", "cancel_reason", "cancelled_at", "sequence"])
        Notice.objects.tell(self)
