"""The first times that fit a wish: their order, their properties, and a count of every minute."""

import datetime as dt
import zoneinfo
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clinic.first_fits import Openings, PartOfDay, Wish, fits, spread
from clinic.slots import Hours, Span, inside_hours
from tests.clinic.every_minute import fits_by_the_minute

LONDON = zoneinfo.ZoneInfo("Europe/London")
THURSDAY = dt.date(2026, 3, 12)
LONG_AGO = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
DAY, MINUTE = dt.timedelta(days=1), dt.timedelta(minutes=1)
INES, BRAM = "Ines", "Bram"


def day(number):
    return THURSDAY + number * DAY


def at(hour, minute=0, *, days=0):
    return dt.datetime.combine(day(days), dt.time(hour, minute), LONDON)


def booked(hour, until, *, days=0):
    return Span(start=at(hour, days=days), end=at(until, days=days))


def wish(**changes):
    """Half an hour, due on Thursday, a day before or after, but for `changes`."""
    usual = {"due": day(0), "first": day(-1), "last": day(1), "minutes": 30}
    return Wish(**(usual | changes))


def openings(*hours, closed=(), after=LONG_AGO):
    """Open every day from 9 to 10, or for `hours` given as pairs."""
    week = [
        Hours(weekday=weekday, opens=dt.time(opens), closes=dt.time(closes))
        for weekday in range(7)
        for opens, closes in hours or ((9, 10),)
    ]
    return Openings(hours=week, closed=set(closed), zone=LONDON, after=after)


def first(number, wanted, taken, opened):
    """The first fits as "weekday hour:minute who"."""
    found = list(fits(wanted, taken, opened))[:number]
    return [f"{fit.start:%a %H:%M} {fit.who}" for fit in found]


def test_the_due_day_comes_first_then_the_day_before_then_the_day_after():
    assert first(9, wish(), {INES: []}, openings()) == [
        "Thu 09:00 Ines", "Thu 09:15 Ines", "Thu 09:30 Ines",
        "Wed 09:00 Ines", "Wed 09:15 Ines", "Wed 09:30 Ines",
        "Fri 09:00 Ines", "Fri 09:15 Ines", "Fri 09:30 Ines",
    ]  # fmt: skip


def test_at_the_same_time_whoever_is_named_first_is_offered_first():
    assert first(3, wish(), {BRAM: [], INES: []}, openings()) == [
        "Thu 09:00 Bram", "Thu 09:00 Ines", "Thu 09:15 Bram",
    ]  # fmt: skip


def test_a_preferred_weekday_comes_before_a_nearer_day():
    wanted = wish(weekdays=frozenset({4}))

    assert first(4, wanted, {INES: []}, openings()) == [
        "Fri 09:00 Ines", "Fri 09:15 Ines", "Fri 09:30 Ines", "Thu 09:00 Ines",
    ]  # fmt: skip


def test_a_preferred_part_of_the_day_comes_before_a_nearer_day():
    taken = {INES: [booked(14, 15)]}
    wanted = wish(parts=frozenset({PartOfDay.AFTERNOON}))

    assert first(4, wanted, taken, openings((9, 10), (14, 15))) == [
        "Wed 14:00 Ines", "Wed 14:15 Ines", "Wed 14:30 Ines", "Fri 14:00 Ines",
    ]  # fmt: skip


def test_both_preferences_come_before_one_and_one_before_none():
    wanted = wish(
        first=day(0), weekdays=frozenset({4}), parts=frozenset({PartOfDay.AFTERNOON}), minutes=60
    )

    assert first(9, wanted, {INES: []}, openings((9, 10), (14, 15))) == [
        "Fri 14:00 Ines", "Thu 14:00 Ines", "Fri 09:00 Ines", "Thu 09:00 Ines",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("clock", "part"),
    [("00:00", "morning"), ("11:59", "morning"), ("12:00", "afternoon"), ("16:59", "afternoon"),
     ("17:00", "evening"), ("23:59", "evening")],
)  # fmt: skip
def test_the_parts_of_a_day_meet_at_noon_and_at_five(clock, part):
    assert PartOfDay.of(dt.datetime.combine(THURSDAY, dt.time.fromisoformat(clock))) == part


def test_a_closed_day_a_booking_and_what_is_over_are_left_out():
    taken = {INES: [booked(9, 10, days=-1)]}
    opened = openings(closed=[day(1)], after=at(9, 10))

    assert first(9, wish(), taken, opened) == ["Thu 09:15 Ines", "Thu 09:30 Ines"]


def test_nobody_to_offer_and_nothing_free_is_nothing():
    assert first(1, wish(), {}, openings()) == []
    assert first(1, wish(minutes=61), {INES: []}, openings()) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [({"minutes": 0}, "0 minutes is no length"), ({"last": day(-2)}, "is before the first")],
)
def test_a_wish_that_can_not_be_is_refused(changes, words):
    with pytest.raises(ValueError, match=words):
        wish(**changes)


# Around the days on which clocks change (see test_clock_changes.py), and around one on which they don't.
PLACES = [
    ("Europe/London", dt.date(2026, 3, 29)),
    ("Europe/London", dt.date(2026, 10, 25)),
    ("America/New_York", dt.date(2026, 11, 1)),
    ("Australia/Lord_Howe", dt.date(2026, 4, 5)),
    ("Australia/Lord_Howe", dt.date(2026, 10, 4)),
    ("America/Santiago", dt.date(2026, 4, 4)),
    ("America/Santiago", dt.date(2026, 9, 6)),
    ("Pacific/Apia", dt.date(2011, 12, 30)),
    ("Europe/London", THURSDAY),
]
CLOCKS = st.integers(0, 287).map(lambda number: dt.time(number // 12, number % 12 * 5))


def stretch(weekday, clocks):
    opens, closes = sorted(clocks)
    return Hours(weekday=weekday, opens=opens, closes=closes)


def hours_of(weekdays):
    """A few stretches at random, or the whole of some days."""
    pairs = st.lists(CLOCKS, min_size=2, max_size=2, unique=True)
    whole = st.just([dt.time(0), dt.time(23, 55)])
    return st.lists(
        st.builds(stretch, st.sampled_from(weekdays), st.one_of(pairs, whole)),
        min_size=1,
        max_size=6,
    )


@st.composite
def books(draw):
    """A wish over a few days, who may be offered with what they have taken, and the clinic's openings."""
    place, around = draw(st.sampled_from(PLACES))
    zone, back = zoneinfo.ZoneInfo(place), draw(st.integers(0, 2))
    days = [around + (n - back) * DAY for n in range(draw(st.integers(1, 4)))]
    midnight = dt.datetime.combine(days[0], dt.time(), dt.UTC)
    moments = st.integers(-12 * 60, (len(days) + 1) * 24 * 60).map(lambda n: midnight + n * MINUTE)
    spans = st.builds(
        lambda start, long: Span(start=start, end=start + long * MINUTE),
        moments,
        st.integers(1, 600),
    )
    wanted = Wish(
        due=draw(st.sampled_from(days)) + draw(st.integers(-3, 3)) * DAY,
        first=days[0],
        last=days[-1],
        minutes=draw(st.integers(1, 120)),
        weekdays=draw(st.frozensets(st.integers(0, 6), max_size=3)),
        parts=draw(st.frozensets(st.sampled_from(PartOfDay), max_size=2)),
    )
    taken = {who: draw(st.lists(spans, max_size=4)) for who in (INES, BRAM)}
    opened = Openings(
        hours=draw(hours_of([one.weekday() for one in days])),
        closed=draw(st.frozensets(st.sampled_from(days), max_size=1)),
        zone=zone,
        after=draw(st.one_of(st.just(LONG_AGO), moments)),
    )
    return wanted, taken, opened


slowly = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])


def found(wanted, taken, opened):
    return list(fits(wanted, taken, opened))


@slowly
@given(books())
def test_they_are_those_of_a_count_of_every_minute_in_the_same_order(book):
    expected = fits_by_the_minute(*book)

    assert [(fit.start.astimezone(dt.UTC), fit.who) for fit in found(*book)] == expected


@given(books())
def test_none_overlaps_what_is_taken(book):
    wanted, taken, _opened = book

    for fit in found(*book):
        length = fit.end.astimezone(dt.UTC) - fit.start.astimezone(dt.UTC)
        assert length == wanted.minutes * MINUTE
        assert not any(Span(start=fit.start, end=fit.end).overlaps(span) for span in taken[fit.who])


@given(books())
def test_none_lies_outside_the_hours_the_days_or_on_a_closed_day(book):
    wanted, _taken, opened = book

    for fit in found(*book):
        assert inside_hours(fit.start, fit.end, opened.hours)
        assert wanted.first <= fit.start.date() <= wanted.last
        assert fit.start.date() not in opened.closed
        assert fit.start >= opened.after


@given(books())
def test_the_first_is_first(book):
    """However the rest is looked at, nothing that fits ranks before the first."""
    wanted, taken, _opened = book
    offered = found(*book)

    def rank(fit):
        near = abs(fit.start.date() - wanted.due)
        return fit.misses, near, fit.start.astimezone(dt.UTC), list(taken).index(fit.who)

    assert offered == sorted(offered, key=rank)
    assert len(set(map(rank, offered))) == len(offered)


@given(books(), st.integers(0, 50), st.integers(1, 300))
def test_a_booking_takes_what_it_overlaps_and_leaves_the_rest_as_it_was(book, number, minutes):
    wanted, taken, opened = book
    before = found(*book)
    begins = before[number % len(before)].start if before else LONG_AGO
    span = Span(start=begins, end=begins.astimezone(dt.UTC) + minutes * MINUTE)

    after = found(wanted, taken | {INES: [*taken[INES], span]}, opened)

    left = [
        fit
        for fit in before
        if fit.who != INES or not Span(start=fit.start, end=fit.end).overlaps(span)
    ]
    assert after == left


@given(books())
def test_what_does_not_matter_changes_nothing(book):
    """The order of bookings and hours, a booking split in two, other days' hours and closed days."""
    wanted, taken, opened = book
    elsewhere = {one.weekday() for one in (wanted.first - DAY, wanted.last + DAY)} - {
        (wanted.first + n * DAY).weekday() for n in range((wanted.last - wanted.first).days + 1)
    }
    more = [Hours(weekday=w, opens=dt.time(0), closes=dt.time(23, 59)) for w in elsewhere]
    other = replace(
        opened,
        hours=[*more, *reversed(opened.hours)],
        closed=opened.closed | {wanted.first - DAY, wanted.last + DAY},
    )
    cut = {
        who: [half for span in reversed(held) for half in halves(span)]
        for who, held in taken.items()
    }

    assert found(wanted, cut, other) == found(*book)


def halves(span):
    middle = span.start + (span.end - span.start) / 2
    return [Span(start=middle, end=span.end), Span(start=span.start, end=middle)]


@given(books())
def test_the_spread_has_one_of_each_part_of_each_day_and_begins_with_the_first(book):
    offered = found(*book)

    chosen = list(spread(offered))

    places = [(fit.start.date(), PartOfDay.of(fit.start)) for fit in chosen]
    assert chosen[:1] == offered[:1]
    assert sorted(chosen, key=offered.index) == chosen
    assert len(set(places)) == len(places)
    assert set(places) == {(fit.start.date(), PartOfDay.of(fit.start)) for fit in offered}
