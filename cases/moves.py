"""For each booking that must be moved, the first times to move it to."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

from django.utils import timezone

from cases.calendar import Calendar, span, with_bare_times
from cases.forms.appointments import on_record
from cases.forms.finding import DAYS_AFTER, DAYS_BEFORE
from cases.free_times import Offer
from cases.models import Appointment
from cases.to_move import ToMove
from clinic import slots
from clinic.first_fits import Openings, PartOfDay, Wish, fits, spread
from clinic.forms import stamp
from clinic.models import Clinic, Staff
from clinic.slots import ONE_DAY

OFFERED = 3
WITH_THE_SAME = 2  # as many as there are; the rest is with somebody else
Busy = dict[Staff, list[slots.Span]]


@dataclass(frozen=True, kw_only=True)
class Move:
    """A booking that must be moved, why, and where to; `opened_with` is the stamp of its form."""

    booking: Appointment
    reasons: tuple[str, ...]
    offers: list[Offer]
    opened_with: str


def moves(
    rows: Iterable[ToMove], clinic: Clinic, calendar: Calendar, *, now: datetime.datetime
) -> list[Move]:
    """Find times for each row in the calendar that it came with; what is booked is read once for all."""
    rows, today = list(rows), timezone.localdate(now)
    if not rows:
        return []
    wishes = [_wish(row.booking, today) for row in rows]
    first, last = min(wish.first for wish in wishes), max(wish.last for wish in wishes)
    calendar = with_bare_times(calendar, clinic, first=first, last=last)
    # Merged once: the same book is looked through for every row.
    busy = {
        who: slots.merge(calendar.taken[who.pk]) for who in Staff.objects.of(clinic).who_treat()
    }
    openings = Openings(hours=calendar.hours, closed=calendar.closed, zone=calendar.zone, after=now)
    return [
        _move(row, wish, _taken(row.booking, calendar, busy), openings)
        for row, wish in zip(rows, wishes, strict=True)
    ]


def _wish(booked: Appointment, today: datetime.date) -> Wish:
    due = max(booked.day, today)
    return Wish(
        due=due,
        first=max(due - DAYS_BEFORE * ONE_DAY, today),
        last=due + DAYS_AFTER * ONE_DAY,
        minutes=booked.minutes,
        weekdays=frozenset(booked.patient.suits_weekdays),
        parts=frozenset(PartOfDay(part) for part in booked.patient.suits_parts),
    )


def _taken(booked: Appointment, calendar: Calendar, busy: Busy) -> Busy:
    """What stands in the way of a booking: what each practitioner has, and what the patient has elsewhere."""
    own = [
        span(one)
        for one in calendar.appointments
        if one.patient_id == booked.patient_id and one.pk != booked.pk
    ]
    return {who: [*spans, *own] for who, spans in busy.items()}


def _move(row: ToMove, wish: Wish, taken: Busy, openings: Openings) -> Move:
    booked = row.booking
    if booked.case:
        # The same person: what stands for the case in the stamp names the patient.
        booked.case.patient = booked.patient
    same = {who: spans for who, spans in taken.items() if who == booked.practitioner}
    others = {who: spans for who, spans in taken.items() if who != booked.practitioner}
    found = list(islice(spread(fits(wish, same, openings)), WITH_THE_SAME))
    found += islice(spread(fits(wish, others, openings)), OFFERED - len(found))
    return Move(
        booking=booked,
        reasons=row.reasons,
        offers=[Offer(fit=fit) for fit in found],
        opened_with=stamp(on_record(booked)),
    )
