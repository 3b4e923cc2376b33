"""Appointments as the clinic asks for them: of a day, live, coming, out of place, in the way, all at once."""

import datetime
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Protocol, Self

from django.db import IntegrityError, models, transaction
from django.db.models import Exists, OuterRef, Q
from django.db.models.functions import ExtractIsoWeekDay, TruncDate, TruncTime
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.case import Case
from cases.models.notice import Notice
from cases.models.patient import Patient
from clinic import slots
from clinic.models import (
    Absence,
    ClinicQuerySet,
    ClosedDay,
    OpeningHours,
    Staff,
)
from clinic.models.clinic import LONGEST

if TYPE_CHECKING:
    from cases.models.appointment import Appointment
    from cases.models.visit import Visit


class Status(models.TextChoices):
    """How far an appointment is."""

    BOOKED = "booked", _("booked")
    ARRIVED = "arrived", _("arrived")
    SEEN = "seen", _("seen")
    MISSED = "missed", _("missed")
    CANCELLED = "cancelled", _("cancelled")


# What the desk can mark one as.
MARKS = (Status.BOOKED, Status.ARRIVED, Status.SEEN, Status.MISSED)


class SlotTaken(Exception):
    """Somebody else has booked the practitioner for that time."""


@contextmanager
def slot_taken() -> Iterator[None]:
    """Raise SlotTaken where the database refuses a second booking of a practitioner at a time."""
    try:
        yield
    except IntegrityError as error:
        if "practitioner_double_booked" not in str(error):
            raise
        raise SlotTaken from error


class Wanted(Protocol):
    """A time with a practitioner for a patient, whether it is booked yet or not."""

    practitioner_id: int
    patient_id: int
    starts_at: datetime.datetime
    ends_at: datetime.datetime


class TimesQuerySet(ClinicQuerySet):
    """Rows with a time, a practitioner and a patient."""

    def overlapping(self, start: datetime.datetime, end: datetime.datetime) -> Self:
        """What has any time in it; none is longer than the database allows, so few are looked at."""
        longest = datetime.timedelta(minutes=LONGEST + 1)
        return self.filter(starts_at__lt=end, starts_at__gt=start - longest, ends_at__gt=start)

    def around(self, wanted: Iterable[Wanted]) -> Self:
        """What could be in the way of the times wanted, which lie close together."""
        wanted = list(wanted)
        start, end = min(one.starts_at for one in wanted), max(one.ends_at for one in wanted)
        same = Q(practitioner__in={one.practitioner_id for one in wanted})
        same |= Q(patient__in={one.patient_id for one in wanted})
        return self.overlapping(start, end).filter(same)


class AppointmentQuerySet(TimesQuerySet):
    def between(self, start: datetime.datetime, end: datetime.datetime) -> Self:
        return self.filter(starts_at__gte=start, starts_at__lt=end)

    def on_day(self, day: datetime.date) -> Self:
        return self.on_days(day, day)

    def on_days(self, first: datetime.date, last: datetime.date) -> Self:
        """What begins from one day of the clinic's own zone to another, both included."""
        zone = timezone.get_current_timezone()
        return self.between(*(slots.midnight(on, zone) for on in (first, last + slots.ONE_DAY)))

    def live(self) -> Self:
        return self.exclude(status=Status.CANCELLED)

    def whose_time_has_come(self, *, now: datetime.datetime) -> Self:
        """Past, of a case, and not cancelled; named by status, so that the index answers alone."""
        return self.filter(status__in=MARKS, starts_at__lt=now, case__isnull=False)

    def coming(self, *, after: datetime.datetime) -> Self:
        return self.filter(status=Status.BOOKED, starts_at__gte=after)

    def standing(self, *, after: datetime.datetime) -> Self:
        return self.filter(starts_at__gte=after).not_gone()

    def not_gone(self) -> Self:
        """Neither cancelled nor missed: booked, in the waiting room, or just seen."""
        gone = [Status.CANCELLED, Status.MISSED]
        return self.exclude(status__in=gone)

    def not_coming(self, *, after: datetime.datetime) -> Self:
        """What is over: past, or not booked any more."""
        return self.exclude(status=Status.BOOKED, starts_at__gte=after)

    def next_of(self, case: Case, *, after: datetime.datetime) -> "Appointment | None":
        """The case's next time in the book; today's stays the next one until the patient was seen."""
        midnight = timezone.localtime(after).replace(hour=0, minute=0, second=0, microsecond=0)
        waiting = [Status.BOOKED, Status.ARRIVED]
        expected = self.filter(case=case, status__in=waiting, starts_at__gte=midnight)
        return expected.with_people().in_order().first()

    def kept_by(self, visit: "Visit", *, now: datetime.datetime) -> Self:
        """The appointments that a visit was: those of its case and day that nobody has marked as seen."""
        has_come = Q(status=Status.ARRIVED) | Q(status=Status.BOOKED, starts_at__lte=now)
        return self.on_day(visit.on).filter(has_come, case=visit.case_id)

    def take_up(self, case: Case, *, since: datetime.date) -> None:
        """Tie what its patient has booked from a day on, and for no case, to a case."""
        midnight = timezone.make_aware(datetime.datetime.combine(since, datetime.time()))
        untied = self.standing(after=midnight).filter(patient=case.patient, case=None)
        untied.update(case=case)

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

    def keep_all(self, bookings: list["Appointment"]) -> None:
        """Keep many new bookings and write what their patients are to be told, or raise SlotTaken for all."""
        who = {one.practitioner_id for one in bookings}
        people = Staff.objects.select_for_update(of=("self",), no_key=True).filter(pk__in=who)
        with slot_taken(), transaction.atomic():
            list(people.order_by("pk"))
            self.bulk_create(bookings)
            for one in bookings:
                if one.patient.mail_agreed:
                    Notice.objects.tell(one)

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
