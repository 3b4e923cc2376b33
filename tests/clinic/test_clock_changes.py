"""Slots on the days on which clocks change, against the tz database.

Each row is one line of what `zdump -v` prints of the IANA time zone database, version 2025b: the zone, the
moment of the change in UTC, and the wall clock from which and to which it turns. The rows cover a change of
half an hour (Lord Howe), changes at midnight (Santiago), and a day that never was (Apia, 30 December 2011).
"""

import datetime as dt
import zoneinfo

import pytest

from clinic.slots import STEP, Hours, free_slots, inside_hours, moment, moments, open_spans, starts

CHANGES = [
    ("Europe/London",       "2026-03-29 01:00", "2026-03-29 01:00", "2026-03-29 02:00"),
    ("Europe/London",       "2026-10-25 01:00", "2026-10-25 02:00", "2026-10-25 01:00"),
    ("America/New_York",    "2026-03-08 07:00", "2026-03-08 02:00", "2026-03-08 03:00"),
    ("America/New_York",    "2026-11-01 06:00", "2026-11-01 02:00", "2026-11-01 01:00"),
    ("Australia/Lord_Howe", "2026-04-04 15:00", "2026-04-05 02:00", "2026-04-05 01:30"),
    ("Australia/Lord_Howe", "2026-10-03 15:30", "2026-10-04 02:00", "2026-10-04 02:30"),
    ("America/Santiago",    "2026-04-05 03:00", "2026-04-05 00:00", "2026-04-04 23:00"),
    ("America/Santiago",    "2026-09-06 04:00", "2026-09-06 00:00", "2026-09-06 01:00"),
    ("Pacific/Apia",        "2011-12-30 10:00", "2011-12-30 00:00", "2011-12-31 00:00"),
]  # fmt: skip
FORWARD = [row for row in CHANGES if row[2] < row[3]]
BACK = [row for row in CHANGES if row[2] > row[3]]
LONDON = zoneinfo.ZoneInfo("Europe/London")
SPRING, AUTUMN = dt.date(2026, 3, 29), dt.date(2026, 10, 25)
LONG_AGO = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
HALF_HOUR = dt.timedelta(minutes=30)


def read(row):
    """The zone, the change in UTC, and the two readings of the wall clock."""
    zone, *times = row
    change, before, after = map(dt.datetime.fromisoformat, times)
    return zoneinfo.ZoneInfo(zone), change.replace(tzinfo=dt.UTC), before, after


def quarters(first, last):
    while first < last:
        yield first
        first += STEP


def always(opens="00:00", closes="23:59"):
    opens, closes = map(dt.time.fromisoformat, (opens, closes))
    return [Hours(weekday=day, opens=opens, closes=closes) for day in range(7)]


@pytest.mark.parametrize("row", FORWARD)
def test_a_time_that_the_clocks_skip_names_no_moment(row):
    zone, _change, before, after = read(row)

    for wall in quarters(before, after):
        assert moments(wall.date(), wall.time(), zone) == []
        assert wall.time() not in [one.time() for one in starts(wall.date(), always(), zone)]


@pytest.mark.parametrize("row", BACK)
def test_a_time_that_comes_twice_names_both_moments_and_is_no_start(row):
    zone, change, before, after = read(row)

    for wall in quarters(after, before):
        first, second = (one.astimezone(dt.UTC) for one in moments(wall.date(), wall.time(), zone))
        assert first == change - (before - wall)
        assert second == change + (wall - after)
        assert moment(wall.date(), wall.time(), zone) is None
        assert wall.time() not in [one.time() for one in starts(wall.date(), always(), zone)]


@pytest.mark.parametrize("row", CHANGES)
def test_just_beside_the_change_a_time_names_one_moment(row):
    zone, change, before, after = read(row)
    minute = dt.timedelta(minutes=1)
    last, first = min(before, after) - minute, max(before, after)
    turned = after - before

    assert moment(last.date(), last.time(), zone) == change - minute - max(-turned, dt.timedelta())
    assert moment(first.date(), first.time(), zone) == change + max(-turned, dt.timedelta())


@pytest.mark.parametrize("row", CHANGES)
def test_an_open_day_is_as_much_longer_or_shorter_as_the_clocks_turn(row):
    zone, _change, before, after = read(row)
    on = min(before, after).date()

    spans = open_spans(on, always(), zone)

    whole = dt.timedelta(hours=23, minutes=59)
    expected = max(whole - (after - before), dt.timedelta())
    if on == dt.date(2026, 4, 4):
        # The clock stands at 23:59 twice, and outside the hours for that minute the first time.
        expected -= dt.timedelta(minutes=1)
    assert sum((span.end - span.start for span in spans), dt.timedelta()) == expected


def test_a_day_that_never_was_has_no_slots():
    apia = zoneinfo.ZoneInfo("Pacific/Apia")

    assert free(dt.date(2011, 12, 30), always(), 15, zone=apia) == []
    assert len(free(dt.date(2011, 12, 31), always(), 15, zone=apia)) == 95


def free(day, hours, minutes, *, zone=LONDON):
    found = free_slots(day=day, minutes=minutes, hours=hours, taken=[], zone=zone, after=LONG_AGO)
    return [f"{start:%H:%M}" for start in found]


def test_hours_that_end_in_the_repeated_hour_are_two_spans():
    """Open until 01:30: until the first one, and again from the second 01:00 to the second 01:30."""
    spans = open_spans(AUTUMN, always("00:00", "01:30"), LONDON)

    assert [(span.start.isoformat(), span.end.isoformat()) for span in spans] == [
        ("2026-10-24T23:00:00+00:00", "2026-10-25T00:30:00+00:00"),
        ("2026-10-25T01:00:00+00:00", "2026-10-25T01:30:00+00:00"),
    ]


def test_nobody_is_booked_from_one_side_of_closed_time_to_the_other():
    """From 00:45 summer time 90 minutes last until the second 01:15, but at the first 01:30 it was closed."""
    start = dt.datetime(2026, 10, 25, 0, 45, tzinfo=LONDON)
    end = dt.datetime(2026, 10, 25, 1, 15, tzinfo=LONDON, fold=1)

    assert (end.astimezone(dt.UTC) - start.astimezone(dt.UTC)) == dt.timedelta(minutes=90)
    assert not inside_hours(start, end, always("00:00", "01:30"))
    assert inside_hours(start, end, always("00:00", "02:00"))
    assert "00:45" not in free(AUTUMN, always("00:00", "01:30"), 90)


def test_hours_that_lie_in_the_skipped_hour_are_no_time_at_all():
    assert open_spans(SPRING, always("01:00", "02:00"), LONDON) == []
    assert free(SPRING, always("01:00", "02:00"), 15) == []


def test_hours_over_the_skipped_hour_are_an_hour_shorter():
    assert free(SPRING, always("00:30", "02:30"), 60) == ["00:30"]
