"""How long the first fits take: `python -m tests.benchmarks.finder`.

20 practitioners, 8 weeks, a made-up book: half full, full but for its last day, and full with a wish for
mornings on a day that the clinic is closed. Nothing is read from a database. Times are reported, never
asserted.
"""

import datetime
import random
import statistics
import time
import zoneinfo
from itertools import islice

from clinic.first_fits import Openings, PartOfDay, Wish, fits, spread
from clinic.slots import Hours, Span, starts

ZONE = zoneinfo.ZoneInfo("Europe/London")
PEOPLE, DAYS, OFFERED, ROUNDS = 20, 56, 9, 15
FIRST = datetime.date(2026, 3, 2)
ALL_DAYS = [FIRST + datetime.timedelta(days=number) for number in range(DAYS)]
HALF_HOUR = datetime.timedelta(minutes=30)
HOURS = [
    Hours(weekday=day, opens=datetime.time(opens), closes=datetime.time(closes))
    for day in range(5)
    for opens, closes in ((8, 12), (13, 18))
]


def book(share: float, *, days: list[datetime.date]) -> dict[int, list[Span]]:
    """That share of all half hours of `days` booked for each practitioner, in UTC as read from a database."""
    chance = random.Random(7)
    halves = [
        start.astimezone(datetime.UTC)
        for day in days
        for start in starts(day, HOURS, ZONE)
        if start.minute % 30 == 0
    ]
    return {
        who: [
            Span(start=start, end=start + HALF_HOUR) for start in halves if chance.random() < share
        ]
        for who in range(PEOPLE)
    }


def measure(wish: Wish, taken: dict[int, list[Span]], openings: Openings) -> tuple[float, float]:
    """Return the median and the slowest time in milliseconds of the first fits."""
    times = []
    for _round in range(ROUNDS):
        begun = time.perf_counter()
        list(islice(spread(fits(wish, taken, openings)), OFFERED))
        times.append(1000 * (time.perf_counter() - begun))
    return statistics.median(times), max(times)


def report() -> None:
    before = datetime.datetime.combine(FIRST, datetime.time(), ZONE)
    openings = Openings(hours=HOURS, closed=set(), zone=ZONE, after=before)
    window = {"due": ALL_DAYS[DAYS // 2], "first": FIRST, "last": ALL_DAYS[-1], "minutes": 30}
    sundays = {"weekdays": frozenset({6}), "parts": frozenset({PartOfDay.EVENING})}
    print(f"First fits: {PEOPLE} practitioners, {DAYS} days{'':8} {'median ms':>9} {'max ms':>8}")
    for told, share, days, preferred in (
        ("half full", 0.5, ALL_DAYS, {}),
        ("half full, a preference that nothing meets", 0.5, ALL_DAYS, sundays),
        ("full but for the last day", 1, ALL_DAYS[:-3], {}),
    ):
        median, slowest = measure(Wish(**window, **preferred), book(share, days=days), openings)
        print(f"{told:48} {median:9.1f} {slowest:8.1f}")


if __name__ == "__main__":
    report()
