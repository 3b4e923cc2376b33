"""What a screen on the wall shows: today's bookings and who is due, by initials, and nothing clinical.

The answer is JSON (RFC 8259), its times are those of RFC 3339 on the clinic's own clock:

    version    the layout, 1; it rises when a name goes or means something else
    clinic     name of the clinic
    day        today, as 2026-03-12
    book       in the order of time, cancelled ones left out: starts, ends, with (the practitioner),
               who (initials), status (booked, arrived, seen or missed)
    due        people (how many are due and not booked), overdue (how many of them before today), and
               first: the MOST most overdue, each with who (initials), due (a day) and overdue_days
"""

import datetime

from django.utils import timezone

from cases.due import counts, due_cases
from cases.feed import initials
from cases.models import Appointment, Case
from clinic.models import Clinic

VERSION = 1
MOST = 20  # more than anybody reads from a wall


def board(clinic: Clinic, *, now: datetime.datetime) -> dict[str, object]:
    """What the screen is told; read in four queries, however many are booked or due."""
    with clinic.own_time():  # nobody is signed in, so no middleware has set it
        return _board(clinic, timezone.localdate(now))


def _board(clinic: Clinic, today: datetime.date) -> dict[str, object]:
    booked = Appointment.objects.of(clinic).on_day(today).live().with_people().in_order()
    waiting, number = due_cases(clinic, today=today), counts(clinic, today=today)
    return {
        "version": VERSION,
        "clinic": clinic.name,
        "day": today.isoformat(),
        "book": [_booking(one) for one in booked],
        "due": {
            "people": number["due"],
            "overdue": number["overdue"],
            "first": [_due(one, today) for one in waiting[:MOST]],
        },
    }


def _booking(one: Appointment) -> dict[str, str]:
    return {
        "starts": timezone.localtime(one.starts_at).isoformat(timespec="seconds"),
        "ends": timezone.localtime(one.ends_at).isoformat(timespec="seconds"),
        "with": str(one.practitioner),
        "who": initials(one.patient),
        "status": one.status,
    }


def _due(case: Case, today: datetime.date) -> dict[str, str | int]:
    overdue = max((today - case.due_on).days, 0)
    return {
        "who": initials(case.patient),
        "due": case.due_on.isoformat(),
        "overdue_days": overdue,
    }
