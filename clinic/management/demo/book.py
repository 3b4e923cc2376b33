"""Fills the appointment book: each contact gets a free time of its day."""

import datetime
from collections import defaultdict
from collections.abc import Iterator

from django.utils import timezone

from cases.models import Appointment, Case, Patient
from clinic.management.demo.people import WEEKDAY, WEEKEND, ZONE
from clinic.models import Absence, Staff
from clinic.slots import ONE_DAY

QUARTER = datetime.timedelta(minutes=15)
NOTICE = datetime.timedelta(hours=5)
WAITED = datetime.timedelta(minutes=9)
# Half hours between the first wishes of two patients, so that days don't fill from the top.
SPREAD = 7


class Book:
    """Knows what is taken, and takes the next free time from a wished one on."""

    def __init__(self) -> None:
        self.taken: dict[int, list[tuple[datetime.datetime, datetime.datetime]]] = defaultdict(list)

    def block(self, absence: Absence) -> None:
        self.taken[absence.staff_id].append((absence.starts_at, absence.ends_at))

    def put(
        self,
        patient: Patient,
        day: datetime.date,
        *,
        by: Staff,
        case: Case | None = None,
        kind: str = "follow-up",
        status: str = "booked",
        reason: str = "",
    ) -> Appointment:
        minutes = by.clinic.usual_minutes(kind)
        wish = 0 if status == "arrived" else patient.record_number * SPREAD
        start = self._free(by, day, minutes, wish=wish)
        booked = Appointment(
            patient=patient,
            case=case,
            practitioner=by,
            kind=kind,
            starts_at=start,
            ends_at=start + datetime.timedelta(minutes=minutes),
            status=status,
            arrived_at=timezone.now() - WAITED if status == "arrived" else None,
            cancel_reason=reason,
            cancelled_at=start - NOTICE if status == "cancelled" else None,
        )
        booked.keep()
        if not booked.is_cancelled:
            self.taken[by.pk].append((booked.starts_at, booked.ends_at))
        return booked

    def _free(self, by: Staff, day: datetime.date, minutes: int, *, wish: int):
        """The wished one of the day's free starts; a full day makes it the next one."""
        length = datetime.timedelta(minutes=minutes)
        while True:
            starts = [
                start
                for start in _starts(day, length)
                if not any(
                    start < end and begun < start + length for begun, end in self.taken[by.pk]
                )
            ]
            if starts:
                return starts[wish % len(starts)]
            day += ONE_DAY


def _starts(day: datetime.date, length: datetime.timedelta) -> Iterator[datetime.datetime]:
    for opens, closes in WEEKEND if day.weekday() > 4 else WEEKDAY:
        start, end = (datetime.datetime.combine(day, clock, ZONE) for clock in (opens, closes))
        while start + length <= end:
            yield start
            start += 2 * QUARTER
