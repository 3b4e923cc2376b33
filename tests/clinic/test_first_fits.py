"""The first times that fit a wish: their order, their properties, and a count of every minute."""

import datetime as dt
import zoneinfo
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clinic.first_fits import Openings, PartOfDay, Wish, fits, in_a_row, spread
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


# A busy machine is no failure.
at_leisure = settings(suppress_health_check=[HealthCheck.too_slow])
slowly = settings(at_leisure, max_examples=60)


def found(wanted, taken, opened):
    return list(fits(wanted, taken, opened))


@slowly
@given(books())
def test_they_are_those_of_a_count_of_every_minute_in_the_same_order(book):
    expected = fits_by_the_minute(*book)

    assert [(fit.start.astimezone(dt.UTC), fit.who) for fit in found(*book)] == expected


@at_leisure
@given(books())
def test_none_overlaps_what_is_taken(book):
    wanted, taken, _opened = book

    for fit in found(*book):
        length = fit.end.astimezone(dt.UTC) - fit.start.astimezone(dt.UTC)
        assert length == wanted.minutes * MINUTE
        assert not any(Span(start=fit.start, end=fit.end).overlaps(span) for span in taken[fit.who])


@at_leisure
@given(books())
def test_none_lies_outside_the_hours_the_days_or_on_a_closed_day(book):
    wanted, _taken, opened = book

    for fit in found(*book):
        assert inside_hours(fit.start, fit.end, opened.hours)
        assert wanted.first <= fit.start.date() <= wanted.last
        assert fit.start.date() not in opened.closed
        assert fit.start >= opened.after


@at_leisure
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


@at_leisure
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


@at_leisure
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


@at_leisure
@given(books())
def test_the_spread_leaves_out_what_is_near_and_what_is_too_much_of_a_day(book):
    offered = found(*book)
    chosen, held = list(spread(offered)), {}

    for fit in offered:
        day = held.setdefault(fit.start.date(), [])
        near = any(abs(fit.start.timestamp() - one.start.timestamp()) < 3 * 3600 for one in day)
        assert (fit in chosen) is not (near or len(day) == 3)
        day += [fit] if fit in chosen else []
    assert chosen == sorted(chosen, key=offered.index)


def test_the_spread_of_a_day_is_morning_noon_and_afternoon():
    offered = fits(wish(), {INES: []}, openings((8, 18)))

    chosen = [f"{fit.start:%a %H:%M}" for fit in spread(offered)]

    assert chosen[:4] == ["Thu 08:00", "Thu 11:00", "Thu 14:00", "Wed 08:00"]


@at_leisure
@given(books())
def test_in_a_row_one_begins_when_the_one_before_it_is_over(book):
    wanted, taken, opened = book
    offered = found(replace(wanted, first=wanted.last), taken, opened)

    row = list(in_a_row(offered))

    ends = [fit.end.astimezone(dt.UTC) for fit in row]
    begins = [fit.start.astimezone(dt.UTC) for fit in row]
    assert all(end <= start for end, start in zip(ends, begins[1:], strict=False))
    first = min(offered, key=lambda fit: fit.start.astimezone(dt.UTC), default=None)
    assert row[:1] == ([first] if first else [])


def test_in_a_row_leaves_no_scrap_and_at_one_time_names_one_person():
    taken = {INES: [booked(9, 10)], BRAM: []}
    offered = fits(wish(first=day(0), last=day(0)), taken, openings((8, 11)))

    row = [f"{fit.start:%H:%M} {fit.who}" for fit in in_a_row(offered)]

    assert row == [
        "08:00 Ines", "08:30 Ines", "09:00 Bram", "09:30 Bram", "10:00 Ines", "10:30 Ines",
    ]  # fmt: skip
