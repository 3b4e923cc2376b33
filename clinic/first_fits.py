"""The first times that fit a wish, in the order in which a desk offers them.

The order
---------
1. Only what lies within the wish's days, is not over, and is free of bookings and absences while the clinic
   is open.
2. What meets the preferred weekdays and times of day, then what meets one of the two, then the rest: a
   preference never hides a time.
3. The day nearest to the due date.
4. The earlier time, so of two days equally near the one before the due date.
5. The practitioner who is named first: the desk names the one who leads the case.

It is a clinic's own habit, with no source.
"""

from collections import defaultdict
from collections.abc import Container, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from enum import StrEnum

from clinic.slots import (
    ONE_DAY,
    Hours,
    Span,
    has_room,
    merge,
    open_spans,
    real_length,
    room,
    starts,
)
from clinic.wording import gettext_noop

APART, MOST_OF_A_DAY = timedelta(hours=3), 3  # a clinic's own habit too


class PartOfDay(StrEnum):
    """When on a day; what starts before noon is morning, and from 17:00 on evening: our own cut of a day."""

    MORNING = gettext_noop("morning")
    AFTERNOON = gettext_noop("afternoon")
    EVENING = gettext_noop("evening")

    @classmethod
    def of(cls, start: datetime) -> "PartOfDay":
        """Return the part of the day in which a moment lies, by the wall clock that it is given in."""
        if start.hour < 12:
            return cls.MORNING
        return cls.AFTERNOON if start.hour < 17 else cls.EVENING


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is looked for: so many minutes near `due`, from `first` to `last`, both days included.

    An empty preference means any. Raises ValueError for days in the wrong order and for no length.
    """

    due: date
    first: date
    last: date
    minutes: int
    weekdays: frozenset[int] = frozenset()
    parts: frozenset[PartOfDay] = frozenset()

    def __post_init__(self) -> None:
        real_length(self.minutes)
        if self.last < self.first:
            raise ValueError(f"the last day ({self.last}) is before the first ({self.first})")

    def days(self) -> list[date]:
        """Return the days in the order in which they are offered: near the due date first."""
        span = range((self.last - self.first).days + 1)
        days = (self.first + number * ONE_DAY for number in span)
        return sorted(days, key=lambda day: (abs(day - self.due), day))

    def misses_of_day(self, day: date) -> int:
        """Return how many preferences no time of the day can meet: 0 or 1."""
        return int(bool(self.weekdays) and day.weekday() not in self.weekdays)

    def misses(self, start: datetime) -> int:
        """Return how many preferences, 0 to 2, a start in the clinic's own zone does not meet."""
        wrong_part = bool(self.parts) and PartOfDay.of(start) not in self.parts
        return self.misses_of_day(start.date()) + wrong_part


@dataclass(frozen=True, kw_only=True)
class Fit:
    """A free time with somebody, in the clinic's zone, and how many preferences it does not meet."""

    start: datetime
    end: datetime
    who: Hashable
    misses: int


@dataclass(frozen=True, kw_only=True)
class Openings:
    """When the clinic can be booked at all: its hours, its closed days, its zone; nothing before `after`."""

    hours: list[Hours]
    closed: Container[date]
    zone: tzinfo
    after: datetime

    def open_on(self, day: date) -> tuple[list[datetime], list[Span]]:
        """Return the starts of a day that are not over, and the real time in which the clinic is open."""
        if day in self.closed:
            return [], []
        on_time = [start for start in starts(day, self.hours, self.zone) if start >= self.after]
        return on_time, open_spans(day, self.hours, self.zone)


def fits(wish: Wish, taken: Mapping[Hashable, Iterable[Span]], openings: Openings) -> Iterator[Fit]:
    """Yield every time that fits, best first (see the order above).

    `taken` are the bookings and absences of each practitioner who may be offered, in the order of preference.
    Days are looked at as they are needed, so that the first fits cost little.
    """
    busy = {who: merge(spans) for who, spans in taken.items()}
    seen: dict[date, list[Fit]] = {}
    for misses in range(3):
        for day in wish.days():
            if misses < wish.misses_of_day(day):
                continue
            if day not in seen:
                seen[day] = list(_of_day(day, wish, busy, openings))
            yield from (fit for fit in seen[day] if fit.misses == misses)


def _of_day(
    day: date, wish: Wish, busy: Mapping[Hashable, list[Span]], openings: Openings
) -> Iterator[Fit]:
    """The fits of one day in the order of time; at one time in the order of the practitioners."""
    on_time, open_hours = openings.open_on(day)
    length = timedelta(minutes=wish.minutes)
    left = {who: room(open_hours, spans, length) for who, spans in busy.items()}
    for start in on_time:
        begins = start.astimezone(UTC)
        end = (begins + length).astimezone(start.tzinfo)
        for who, spans in left.items():
            if has_room(spans, begins, length):
                yield Fit(start=start, end=end, who=who, misses=wish.misses(start))


def spread(offered: Iterable[Fit]) -> Iterator[Fit]:
    """Yield the best fits, in the order given, so far apart that there is a choice.

    Of a day three at most, and those three hours apart or more.
    """
    kept: dict[date, list[datetime]] = defaultdict(list)
    for fit in offered:
        begins, had = fit.start.astimezone(UTC), kept[fit.start.date()]
        if len(had) < MOST_OF_A_DAY and all(abs(begins - other) >= APART for other in had):
            had.append(begins)
            yield fit


def in_a_row(offered: Iterable[Fit]) -> Iterator[Fit]:
    """Yield the fits of one day in the order of time, each beginning no sooner than the one before it ends.

    At one time the one that was offered first is taken.
    """
    reached = None
    for fit in sorted(offered, key=lambda fit: fit.start.astimezone(UTC)):
        if reached is None or fit.start >= reached:
            reached = fit.end.astimezone(UTC)
            yield fit
