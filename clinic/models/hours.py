"""When the clinic is open, on which days it is closed, and when somebody is away."""

import datetime

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.journal import Journaled
from clinic.models.clinic import ClinicOwned, ClinicQuerySet
from clinic.models.staff import Staff
from clinic.revision import RaisesRevision


class OpeningHours(ClinicOwned):
    """One stretch of a weekday in which patients are seen; a day may have several."""

    class Weekday(models.IntegerChoices):
        MONDAY = 0, _("Monday")
        TUESDAY = 1, _("Tuesday")
        WEDNESDAY = 2, _("Wednesday")
        THURSDAY = 3, _("Thursday")
        FRIDAY = 4, _("Friday")
        SATURDAY = 5, _("Saturday")
        SUNDAY = 6, _("Sunday")

    weekday = models.SmallIntegerField(_("weekday"), choices=Weekday)
    opens = models.TimeField(_("opens"))
    closes = models.TimeField(_("closes"))

    class Meta:
        verbose_name = _("opening hours")
        verbose_name_plural = _("opening hours")
        ordering = ["weekday", "opens"]
        constraints = [
            models.CheckConstraint(
                name="hours_close_after_opening",
                condition=Q(closes__gt=F("opens")),
                violation_error_message=_("The clinic can't close before it opens."),
            ),
            models.UniqueConstraint(
                name="hours_one_opening_at_a_time", fields=["clinic", "weekday", "opens"]
            ),
            RaisesRevision(name="hours_raise_revision"),
            Journaled(name="opening_hours_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.opens:%H:%M}–{self.closes:%H:%M}"


class ClosedDayQuerySet(ClinicQuerySet):
    def between(self, first: datetime.date, last: datetime.date):
        """Closed days from `first` to `last`, both included."""
        return self.filter(day__range=(first, last))

    def since(self, day: datetime.date):
        return self.filter(day__gte=day)

    def before(self, day: datetime.date):
        return self.filter(day__lt=day).order_by("-day")


class ClosedDay(ClinicOwned):
    """A day on which the clinic is closed whatever the weekday: a public holiday, an outing of the staff."""

    day = models.DateField(_("day"))
    name = models.CharField(_("why closed"), max_length=80)

    objects = ClosedDayQuerySet.as_manager()

    class Meta:
        verbose_name = _("closed day")
        verbose_name_plural = _("closed days")
        ordering = ["day"]
        constraints = [
            models.UniqueConstraint(
                name="closed_day_once",
                fields=["clinic", "day"],
                violation_error_message=_("This day is on the list already."),
            ),
            models.CheckConstraint(
                name="closed_day_has_a_name",
                condition=~Q(name=""),
                violation_error_message=_("Say why the clinic is closed."),
            ),
            RaisesRevision(name="closed_day_raises_revision"),
            Journaled(name="closed_day_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.day:%Y-%m-%d} {self.name}"


class AbsenceQuerySet(ClinicQuerySet):
    def not_over(self, *, now: datetime.datetime):
        return self.filter(ends_at__gt=now).order_by("starts_at", "pk")

    def overlapping(self, starts_at: datetime.datetime, ends_at: datetime.datetime):
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)


class Absence(ClinicOwned):
    """Time in which a practitioner can't be booked."""

    belongs_to = "staff"

    staff = models.ForeignKey(
        Staff, on_delete=models.CASCADE, related_name="absences", verbose_name=_("practitioner")
    )
    starts_at = models.DateTimeField(_("from"))
    ends_at = models.DateTimeField(_("until"))
    reason = models.CharField(_("reason"), max_length=120, blank=True)

    objects = AbsenceQuerySet.as_manager()

    class Meta:
        verbose_name = _("absence")
        verbose_name_plural = _("absences")
        indexes = [models.Index(name="absence_by_person", fields=["staff", "ends_at"])]
        constraints = [
            models.CheckConstraint(
                name="absence_ends_after_start",
                condition=Q(ends_at__gt=F("starts_at")),
                violation_error_message=_("An absence can't end before it starts."),
            ),
            RaisesRevision(name="absence_raises_revision"),
            Journaled(name="absence_journaled"),
        ]

    def takes(self, booking) -> bool:
        """Whether a booking of the same practitioner lies in it, at least in part."""
        mine = booking.practitioner_id == self.staff_id
        return mine and booking.starts_at < self.ends_at and self.starts_at < booking.ends_at

    @property
    def first_day(self) -> datetime.date:
        return timezone.localdate(self.starts_at)

    @property
    def last_day(self) -> datetime.date:
        """The last day with any of it: midnight ends the day before."""
        return timezone.localdate(self.ends_at - datetime.timedelta.resolution)

    @property
    def ends_with_its_day(self) -> bool:
        return timezone.localdate(self.ends_at) > self.last_day

    @property
    def begins_with_its_day(self) -> bool:
        return timezone.localtime(self.starts_at).time() == datetime.time()

    def __str__(self) -> str:
        return f"{self.staff}: {self.starts_at:%d %b %Y} – {self.ends_at:%d %b %Y}"
