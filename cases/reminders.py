"""Writes the reminders that are due: some days before an appointment, from nine in the morning there."""

import datetime
import zoneinfo

from django.db.models import Exists, F, Max, OuterRef, Q

from cases.mail_words import Occasion
from cases.models import Appointment, Notice
from cases.models.notice_query import beginning
from cases.models.restriction import restricted
from clinic.models import Clinic
from clinic.slots import ONE_DAY, midnight

NINE = datetime.time(9)  # nobody's phone wakes them for it; common practice, no source
TOLD = [Occasion.BOOKED, Occasion.SERIES, Occasion.MOVED]


def reminders_due(*, now: datetime.datetime) -> list[Appointment]:
    """Return the appointments of all clinics that are to be reminded of now."""
    return [one for clinic in Clinic.objects.all() for one in to_remind(clinic, now=now)]


def write_reminders(*, now: datetime.datetime) -> None:
    """Write the reminders of all clinics.

    The database keeps each of them once (`notice_once`), whoever else is writing them at the same time.
    """
    rows = [
        Notice(
            clinic_id=one.clinic_id,
            appointment=one,
            occasion=Occasion.REMINDER,
            sequence=one.sequence,
            **beginning(one.patient, at=now),
        )
        for one in reminders_due(now=now)
    ]
    Notice.objects.bulk_create(rows, ignore_conflicts=True)


def to_remind(clinic: Clinic, *, now: datetime.datetime) -> list[Appointment]:
    """Return the appointments to be reminded of at `now` whose patients have not just been told of them."""
    if not clinic.reminder_days:
        return []
    zone = zoneinfo.ZoneInfo(clinic.time_zone)
    # The last day that is reminded of already, and the one after it as a bound.
    local = now.astimezone(zone)
    ahead = clinic.reminder_days + (local.time() >= NINE)
    end = midnight(local.date() + ahead * ONE_DAY, zone)
    coming = Appointment.objects.of(clinic).coming(after=now).filter(starts_at__lt=end)
    asked = coming.filter(patient__mail_agreed=True).exclude(
        Exists(_reminded()) | restricted("patient", on=local.date())
    )
    rows = asked.annotate(told_at=_told_at()).with_people().select_related("clinic")
    return [one for one in rows.in_order() if not _told_lately(one, clinic.reminder_days, zone)]


def _reminded():
    """Reminders of this revision, and bookings that nobody was reached about: the desk has those."""
    mine = Notice.objects.filter(appointment=OuterRef("pk"), sequence=OuterRef("sequence"))
    closed = Q(status=Notice.Status.FAILED) & Q(appointment__patient__mail_refused_at__isnull=False)
    return mine.filter(Q(occasion=Occasion.REMINDER) | closed)


def _told_at():
    gone = [Notice.Status.FAILED, Notice.Status.DROPPED]
    told = Q(notices__occasion__in=TOLD, notices__sequence=F("sequence"))
    return Max("notices__written_at", filter=told & ~Q(notices__status__in=gone))


def _told_lately(one: Appointment, days: int, zone: zoneinfo.ZoneInfo) -> bool:
    """Whether the invitation went out when the reminder was due already: one of the two is enough."""
    day = one.starts_at.astimezone(zone).date() - datetime.timedelta(days=days)
    return one.told_at is not None and one.told_at >= datetime.datetime.combine(day, NINE, zone)
