"""Free times in the appointment book: opening hours, less closed days, absences and bookings.

People write wall-clock times on cards, so slots start on the wall clock; lengths are real minutes. When the
clocks change, a wall-clock time may not exist or exist twice: neither is offered, because a card that says
02:30 would then name no moment or two.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

STEP = timedelta(minutes=15)  # clinic's own habit: appointments start on the quarter hour
ONE_DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)


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

    def covers(self, start: datetime, end: datetime) -> bool:
        """Say whether all the time from `start` until `end` lies in it."""
        return self.start <= start and end <= self.end


def moments(day: date, clock: time, zone: tzinfo) -> list[datetime]:
    """Return the moments that a wall-clock time names: one, but none or two at a change of the clocks."""
    first, second = (datetime.combine(day, clock, zone).replace(fold=fold) for fold in (0, 1))
    before, after = (one.utcoffset() or timedelta() for one in (first, second))
    if before == after:
        return [first]
    # PEP 495: of a time that is skipped, the first reading has the smaller distance from UTC.
    return [first, second] if before > after else []


def moment(day: date, clock: time, zone: tzinfo) -> datetime | None:
    """Return the moment of a wall-clock time; None at a change of the clocks, where it names none or two."""
    named = moments(day, clock, zone)
    return named[0] if len(named) == 1 else None


def midnight(day: date, zone: tzinfo) -> datetime:
    """Return the moment at which a day begins."""
    return datetime.combine(day, time(), zone)


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


def open_spans(day: date, hours: Iterable[Hours], zone: tzinfo) -> list[Span]:
    """Return the real time, in UTC, in which the wall clock of `day` stands within the hours.

    A change of the clocks makes a stretch longer or shorter. Where a stretch ends in the repeated hour it is
    two spans: the clock stands outside it for a while, and then inside it again.
    """
    parts = _parts(day, zone)
    return merge(
        Span(start=max(start, since), end=min(end, until))
        for one in stretches(hours, day.weekday())
        for offset, since, until in parts
        for start, end in [(_utc(day, one.opens, offset), _utc(day, one.closes, offset))]
        if max(start, since) < min(end, until)
    )


def _utc(day: date, clock: time, offset: timedelta) -> datetime:
    return (datetime.combine(day, clock) - offset).replace(tzinfo=UTC)


def _parts(day: date, zone: tzinfo) -> list[tuple[timedelta, datetime, datetime]]:
    """The parts of a day by their distance from UTC, each from when until when; two where clocks change."""
    first, last = (midnight(on, zone).utcoffset() or timedelta() for on in (day, day + ONE_DAY))
    begins, ends = _utc(day, time(), first), _utc(day + ONE_DAY, time(), last)
    if first == last:
        return [(first, begins, ends)]

    def has_changed(minute: int) -> bool:
        return (begins + minute * MINUTE).astimezone(zone).utcoffset() == last

    minutes = range((ends - begins) // MINUTE)
    change = begins + bisect_left(minutes, True, key=has_changed) * MINUTE
    return [(first, begins, change), (last, change, ends)]


def merge(spans: Iterable[Span]) -> list[Span]:
    """Return the same time in UTC as spans that neither overlap nor touch, in order."""
    found: list[list[datetime]] = []
    for start, end in sorted((one.start.astimezone(UTC), one.end.astimezone(UTC)) for one in spans):
        if found and start <= found[-1][1]:
            found[-1][1] = max(found[-1][1], end)
        else:
            found.append([start, end])
    return [Span(start=start, end=end) for start, end in found]


def inside_hours(start: datetime, end: datetime, hours: Iterable[Hours]) -> bool:
    """Say whether the clinic is open from `start` to `end`, both given in the clinic's own zone.

    Raises ValueError when the end is not after the start.
    """
    if end <= start:
        raise ValueError(f"the end ({end}) is not after the start ({start})")
    if start.tzinfo is None:
        raise ValueError(f"the start ({start}) has no time zone")
    return any(span.covers(start, end) for span in open_spans(start.date(), hours, start.tzinfo))


def starts(day: date, hours: Iterable[Hours], zone: tzinfo) -> list[datetime]:
    """Return the wall-clock times at which an appointment may start, every quarter hour from opening on."""
    return [
        start
        for one in stretches(hours, day.weekday())
        for clock in _quarters(day, one)
        if (start := moment(day, clock, zone)) is not None
    ]


def _quarters(day: date, one: Hours) -> Iterator[time]:
    wall, last = datetime.combine(day, one.opens), datetime.combine(day, one.closes)
    while wall < last:
        yield wall.time()
        wall += STEP


def free_slots(
    *,
    day: date,
    minutes: int,
    hours: Iterable[Hours],
    taken: Iterable[Span],
    zone: tzinfo,
    after: datetime,
) -> list[datetime]:
    """Return the starts on `day` at which `minutes` are free, in order, in the clinic's zone.

    `taken` are the bookings and absences of the practitioner; nothing before `after` is returned. Slots start
    on the quarter hour counted from opening. Raises ValueError for a length that is not positive.
    """
    length, hours = real_length(minutes), list(hours)
    left = room(open_spans(day, hours, zone), merge(taken), length)
    return [
        start
        for start in starts(day, hours, zone)
        if start >= after and has_room(left, start.astimezone(UTC), length)
    ]


def real_length(minutes: int) -> timedelta:
    """Return minutes as real time; raises ValueError where there are none."""
    if minutes <= 0:
        raise ValueError(f"{minutes} minutes is no length")
    return timedelta(minutes=minutes)


def room(open_hours: Iterable[Span], taken: list[Span], length: timedelta) -> list[Span]:
    """Return what is left of the opening hours and long enough; `taken` is merged already."""
    return [gap for gap in gaps(open_hours, taken) if gap.end - gap.start >= length]


def has_room(left: Iterable[Span], start: datetime, length: timedelta) -> bool:
    """Say whether so much real time from `start` on lies in one of the spans.

    `start` is in UTC: adding to a zoned time moves the hands of the clock.
    """
    return any(span.covers(start, start + length) for span in left)


def gaps(open_hours: Iterable[Span], taken: list[Span]) -> list[Span]:
    """Return what is left of the opening hours; `taken` is merged already."""
    return [gap for one in open_hours for gap in _left_of(one, taken)]


def _left_of(one: Span, taken: list[Span]) -> Iterator[Span]:
    reached = one.start
    first = bisect_right(taken, one.start, key=lambda span: span.end)
    for number in range(first, len(taken)):
        if taken[number].start >= one.end:
            break
        if reached < taken[number].start:
            yield Span(start=reached, end=taken[number].start)
        reached = taken[number].end
    if reached < one.end:
        yield Span(start=reached, end=one.end)


def unbooked(open_hours: Iterable[Span], taken: Iterable[Span]) -> timedelta:
    """Return how much of the opening hours, which don't overlap, is not taken; `taken` may overlap."""
    left = gaps(open_hours, merge(taken))
    return sum((gap.end - gap.start for gap in left), timedelta())
