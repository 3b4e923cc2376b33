"""Free times in the appointment book: opening hours, less absences and bookings.

People write wall-clock times on cards, so slots start on the wall clock; lengths are real minutes. When the
clocks change, a wall-clock time may not exist or exist twice: neither is offered, because a card that says
02:30 would then name no moment or two.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

STEP = timedelta(minutes=15)  # clinic's own habit: appointments start on the quarter hour


@dataclass(frozen=True, kw_only=True)
class Hours:
    """One stretch of a weekday (0 is Monday) in which patients are seen, on the wall clock."""

    weekday: int
    opens: time
    closes: time


@dataclass(frozen=True, kw_only=True)
class Span:
    """Time from `start` until `end`, both aware; `end` itself is outside."""

    start: datetime
    end: datetime

    def __post_init__(self) -> None:
        if self.start.tzinfo is None or self.end.tzinfo is None:
            raise ValueError("a span needs moments with a time zone")
        if self.end <= self.start:
            raise ValueError(f"a span can't end ({self.end}) before it starts ({self.start})")

    def overlaps(self, other: "Span") -> bool:
        """Say whether the two share any time; spans that only touch don't."""
        return self.start < other.end and other.start < self.end


def moment(day: date, clock: time, zone: tzinfo) -> datetime | None:
    """Return the moment of a wall-clock time; None at a change of the clocks, where it names none or two."""
    first, second = (datetime.combine(day, clock, zone).replace(fold=fold) for fold in (0, 1))
    exists_once = first.utcoffset() == second.utcoffset()
    return first if exists_once else None


def stretches(hours: Iterable[Hours], weekday: int) -> list[Hours]:
    """Return the weekday's opening hours in order; stretches that touch or overlap become one."""
    merged: list[Hours] = []
    for one in sorted((h for h in hours if h.weekday == weekday), key=lambda h: h.opens):
        if merged and one.opens <= merged[-1].closes:
            before = merged.pop()
            closes = max(before.closes, one.closes)
            one = Hours(weekday=weekday, opens=before.opens, closes=closes)
        merged.append(one)
    return merged


def inside_hours(start: datetime, end: datetime, hours: Iterable[Hours]) -> bool:
    """Say whether the clinic is open from `start` to `end`, both given in the clinic's own zone.

    Raises ValueError when the end is not after the start.
    """
    if end <= start:
        raise ValueError(f"the end ({end}) is not after the start ({start})")
    return start.date() == end.date() and any(
        one.opens <= start.time() and end.time() <= one.closes
        for one in stretches(hours, start.weekday())
    )


def free_slots(
    *,
    day: date,
    minutes: int,
    hours: Iterable[Hours],
    taken: Sequence[Span],
    zone: tzinfo,
    after: datetime,
) -> list[datetime]:
    """Return the starts on `day` at which `minutes` are free, in order, in the clinic's zone.

    `taken` are the bookings and absences of the practitioner; nothing before `after` is returned. Slots start
    on the quarter hour counted from opening. Raises ValueError for a length that is not positive.
    """
    if minutes <= 0:
        raise ValueError(f"{minutes} minutes is no length")
    length = timedelta(minutes=minutes)
    return [
        start
        for one in stretches(hours, day.weekday())
        for start in _starts(day, one, zone)
        if start >= after and _fits(start, length, one, taken)
    ]


def _starts(day: date, one: Hours, zone: tzinfo) -> Iterable[datetime]:
    wall, last = datetime.combine(day, one.opens), datetime.combine(day, one.closes)
    while wall < last:
        start = moment(day, wall.time(), zone)
        if start is not None:
            yield start
        wall += STEP


def _fits(start: datetime, length: timedelta, one: Hours, taken: Sequence[Span]) -> bool:
    # Adding to a zoned time moves the hands of the clock; real minutes are added in UTC.
    end = (start.astimezone(UTC) + length).astimezone(start.tzinfo)
    slot = Span(start=start, end=end)
    inside = inside_hours(start, end, [one])
    return inside and not any(slot.overlaps(other) for other in taken)


def unbooked(open_hours: Iterable[Span], taken: Iterable[Span]) -> timedelta:
    """Return how much of the opening hours, which don't overlap, is not taken; `taken` may overlap."""
    spans = sorted(taken, key=lambda span: span.start)
    return sum((_unbooked_in(one, spans) for one in open_hours), timedelta())


def _unbooked_in(one: Span, taken: Iterable[Span]) -> timedelta:
    free, reached = timedelta(), one.start
    for other in taken:
        if other.end <= reached or other.start >= one.end:
            continue
        free += max(other.start - reached, timedelta())
        reached = other.end
    return free + max(one.end - reached, timedelta())
