"""The appointment book."""

import datetime
import uuid
from typing import Self

from django.db import IntegrityError, models, transaction
from django.db.models import Exists, F, OuterRef, Q
from django.db.models.functions import ExtractIsoWeekDay, TruncDate, TruncTime
from django.db.models.lookups import LessThanOrEqual
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.case import Case
from cases.models.notice import Notice
from cases.models.patient import Patient
from clinic.constraints import NoOverlap
from clinic.journal import Journaled
from clinic.models import (
    Absence,
    ClinicOwned,
    ClinicQuerySet,
    ClosedDay,
    OpeningHours,
    Staff,
)
from clinic.models.clinic import LONGEST
from clinic.revision import RaisesRevision
from clinic.sql import MinutesBetween


class SlotTaken(Exception):
    """Somebody else has booked the practitioner for that time."""


class AppointmentQuerySet(ClinicQuerySet):
    def between(self, start: datetime.datetime, end: datetime.datetime) -> Self:
        return self.filter(starts_at__gte=start, starts_at__lt=end)

    def on_day(self, day: datetime.date) -> Self:
        """What begins on a day of the clinic's own zone."""
        midnights = (
            timezone.make_aware(datetime.datetime.combine(on, datetime.time()))
            for on in (day, day + datetime.timedelta(days=1))
        )
        return self.between(*midnights)

    def overlapping(self, start: datetime.datetime, end: datetime.datetime) -> Self:
        """What has any time in it; none is longer than the database allows, so few are looked at."""
        longest = datetime.timedelta(minutes=LONGEST + 1)
        return self.filter(starts_at__lt=end, starts_at__gt=start - longest, ends_at__gt=start)

    def live(self) -> Self:
        return self.exclude(status=Appointment.Status.CANCELLED)

    def whose_time_has_come(self, *, now: datetime.datetime) -> Self:
        """Past, of a case, and not cancelled; named by status, so that the index answers alone."""
        return self.filter(status__in=Appointment.MARKS, starts_at__lt=now, case__isnull=False)

    def coming(self, *, after: datetime.datetime) -> Self:
        return self.filter(status=Appointment.Status.BOOKED, starts_at__gte=after)

    def standing(self, *, after: datetime.datetime) -> Self:
        return self.filter(starts_at__gte=after).not_gone()

    def not_gone(self) -> Self:
        """Neither cancelled nor missed: booked, in the waiting room, or just seen."""
        gone = [Appointment.Status.CANCELLED, Appointment.Status.MISSED]
        return self.exclude(status__in=gone)

    def not_coming(self, *, after: datetime.datetime) -> Self:
        """What is over: past, or not booked any more."""
        return self.exclude(status=Appointment.Status.BOOKED, starts_at__gte=after)

    def next_of(self, case: Case, *, after: datetime.datetime) -> "Appointment | None":
        """The case's next time in the book; today's stays the next one until the patient was seen."""
        midnight = timezone.localtime(after).replace(hour=0, minute=0, second=0, microsecond=0)
        waiting = [Appointment.Status.BOOKED, Appointment.Status.ARRIVED]
        expected = self.filter(case=case, status__in=waiting, starts_at__gte=midnight)
        return expected.with_people().in_order().first()

    def out_of_place(self) -> Self:
        """Those on a closed day, in an absence, outside one stretch of the hours, or with nobody any more.

        Two stretches that touch count as two here, and as one in the calendar: this finds whom to look at.
        """
        day = ClosedDay.objects.of(OuterRef("clinic")).filter(day=OuterRef("on_day"))
        away = Absence.objects.filter(
            staff=OuterRef("practitioner"),
            starts_at__lt=OuterRef("ends_at"),
            ends_at__gt=OuterRef("starts_at"),
        )
        hours = OpeningHours.objects.of(OuterRef("clinic")).filter(
            weekday=OuterRef("weekday"),
            opens__lte=OuterRef("from_time"),
            closes__gte=OuterRef("until_time"),
        )
        with_nobody = Q(practitioner__treats=False) | Q(practitioner__is_active=False)
        return self.alias(
            on_day=TruncDate("starts_at"),
            weekday=ExtractIsoWeekDay("starts_at") - 1,
            from_time=TruncTime("starts_at"),
            until_time=TruncTime("ends_at"),
        ).filter(Exists(day) | Exists(away) | ~Exists(hours) | with_nobody)

    def involving(self, staff: Staff, patient: Patient) -> Self:
        """Those of the practitioner, and those of the patient with whomever."""
        return self.filter(Q(practitioner=staff) | Q(patient=patient))

    def with_practitioner(self, staff: Staff) -> Self:
        return self.filter(practitioner=staff)

    def bare_times(self) -> models.QuerySet:
        """When, with whom and whose, as plain rows: many are read to find what is free between them."""
        names = ("pk", "practitioner_id", "patient_id", "starts_at", "ends_at", "status")
        return self.values_list(*names, named=True)

    def with_people(self) -> Self:
        return self.select_related("patient", "practitioner", "case")

    def in_order(self) -> Self:
        return self.order_by("starts_at", "pk")

    def latest_first(self) -> Self:
        return self.order_by("-starts_at", "-pk")


class Appointment(ClinicOwned):
    """A patient's time with one practitioner."""

    belongs_to = "practitioner"

    class Kind(models.TextChoices):
        FIRST = "first", _("first visit")
        FOLLOW_UP = "follow-up", _("follow-up")
        REVIEW = "review", _("review")
        DISCHARGE = "discharge", _("discharge")

    class Status(models.TextChoices):
        BOOKED = "booked", _("booked")
        ARRIVED = "arrived", _("arrived")
        SEEN = "seen", _("seen")
        MISSED = "missed", _("missed")
        CANCELLED = "cancelled", _("cancelled")

    MARKS = (Status.BOOKED, Status.ARRIVED, Status.SEEN, Status.MISSED)

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
        try:
            with transaction.atomic():
                Staff.objects.select_for_update(of=("self",), no_key=True).get(
                    pk=self.practitioner_id
                )
                revised = self._revise()
                self.save()
                if revised:
                    Notice.objects.tell(self, series=series)
        except IntegrityError as error:
            if "practitioner_double_booked" not in str(error):
                raise
            raise SlotTaken from error

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
        if status != self.Status.BOOKED and timezone.localdate(self.starts_at) > today:
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
