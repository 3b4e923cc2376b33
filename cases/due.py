"""Who is due back and has no booking, as every page counts them."""

import datetime

from django.db.models import Count, Q
from django.utils import timezone

from cases.models import Case
from cases.models.case import CaseQuerySet
from clinic import slots
from clinic.models import Clinic

DAYS_AHEAD = datetime.timedelta(days=14)


def unbooked(clinic: Clinic, *, today: datetime.date) -> CaseQuerySet:
    """Open cases that nobody has booked from today on, and whose patient has not said that it is enough."""
    midnight = slots.midnight(today, timezone.get_current_timezone())
    waiting = Case.objects.of(clinic).open().not_declined()
    return waiting.without_booking(after=midnight).with_people()


def due_cases(
    clinic: Clinic, *, today: datetime.date, ahead: datetime.timedelta = DAYS_AHEAD
) -> CaseQuerySet:
    """Those of them who are due by `today + ahead`, most overdue first."""
    return unbooked(clinic, today=today).due_by(today + ahead).most_overdue_first()


def counts(clinic: Clinic, *, today: datetime.date) -> dict[str, int]:
    """How many are due in all, how many of them are overdue, and how many have no day; one query."""
    return unbooked(clinic, today=today).aggregate(
        due=Count("pk", filter=Q(due_on__lte=today + DAYS_AHEAD)),
        overdue=Count("pk", filter=Q(due_on__lt=today)),
        undated=Count("pk", filter=Q(due_on=None)),
    )
