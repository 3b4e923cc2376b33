import datetime
import zoneinfo

import pytest

from clinic.slots import Hours, Span, free_slots, inside_hours, moment, stretches

LONDON = zoneinfo.ZoneInfo("Europe/London")
THURSDAY = datetime.date(2026, 3, 12)
LONG_AGO = datetime.datetime(2000, 1, 1, tzinfo=LONDON)
CLOCKS_FORWARD = datetime.date(2026, 3, 29)  # 01:00 to 01:59 do not exist in London
CLOCKS_BACK = datetime.date(2026, 10, 25)  # 01:00 to 01:59 exist twice


def at(hour, minute=0, *, day=THURSDAY):
    return datetime.datetime.combine(day, datetime.time(hour, minute), LONDON)


def hours(opens, closes, *, weekday=3):
    return Hours(weekday=weekday, opens=datetime.time(opens), closes=datetime.time(closes))


def free(**changes):
    """Wall-clock starts of a morning of one hour, but for `changes`."""
    morning = dict(
        day=THURSDAY, minutes=30, hours=[hours(9, 10)], taken=[], zone=LONDON, after=LONG_AGO
    )
    return [f"{start:%H:%M}" for start in free_slots(**(morning | changes))]


def test_slots_start_every_quarter_hour_and_end_before_closing():
    assert free() == ["09:00", "09:15", "09:30"]


def test_a_closed_day_has_no_slots():
    assert free(hours=[hours(9, 10, weekday=4)]) == []


def test_a_booking_or_an_absence_takes_the_slots_that_it_touches():
    assert free(taken=[Span(start=at(9, 30), end=at(9, 45))]) == ["09:00"]


def test_a_slot_may_touch_the_booking_beside_it():
    assert free(hours=[hours(9, 11)], taken=[Span(start=at(9, 30), end=at(10, 30))]) == [
        "09:00",
        "10:30",
    ]


def test_what_is_over_is_not_free():
    assert free(after=at(9, 10)) == ["09:15", "09:30"]


def test_slots_pass_from_one_stretch_into_one_that_touches_it():
    assert free(minutes=60, hours=[hours(9, 10), hours(10, 11)]) == [
        "09:00", "09:15", "09:30", "09:45", "10:00",
    ]  # fmt: skip


def test_a_length_of_nothing_is_refused():
    with pytest.raises(ValueError, match="0 minutes is no length"):
        free(minutes=0)


def test_a_wall_time_that_the_clocks_skip_is_not_offered():
    night = dict(day=CLOCKS_FORWARD, hours=[hours(0, 3, weekday=6)])

    assert free(**night, minutes=30) == [
        "00:00", "00:15", "00:30", "00:45", "02:00", "02:15", "02:30",
    ]  # fmt: skip


def test_a_wall_time_that_exists_twice_is_not_offered():
    night = dict(day=CLOCKS_BACK, hours=[hours(0, 3, weekday=6)])

    assert free(**night, minutes=30) == [
        "00:00", "00:15", "00:30", "00:45", "02:00", "02:15", "02:30",
    ]  # fmt: skip


def test_lengths_are_real_minutes_over_a_change_of_the_clocks():
    starts = free_slots(
        day=CLOCKS_FORWARD,
        minutes=60,
        hours=[hours(0, 3, weekday=6)],
        taken=[Span(start=at(2, 15, day=CLOCKS_FORWARD), end=at(2, 30, day=CLOCKS_FORWARD))],
        zone=LONDON,
        after=LONG_AGO,
    )

    # From 00:15 winter time an hour lasts until 02:15 summer time.
    assert [f"{start:%H:%M}" for start in starts] == ["00:00", "00:15"]


@pytest.mark.parametrize("day", [CLOCKS_FORWARD, CLOCKS_BACK])
def test_a_time_at_the_change_of_the_clocks_names_no_single_moment(day):
    assert moment(day, datetime.time(1, 30), LONDON) is None


def test_any_other_time_names_one_moment():
    assert moment(THURSDAY, datetime.time(9, 30), LONDON) == at(9, 30)


@pytest.mark.parametrize(
    ("start", "end", "inside"),
    [
        (at(9), at(10), True),
        (at(8, 55), at(9, 25), False),
        (at(9, 45), at(10, 15), False),
        (at(9, day=datetime.date(2026, 3, 13)), at(9, 30, day=datetime.date(2026, 3, 13)), False),
        (at(9), at(9, 30, day=datetime.date(2026, 3, 13)), False),
    ],
)
def test_an_appointment_lies_within_one_stretch_of_its_day(start, end, inside):
    assert inside_hours(start, end, [hours(9, 10)]) is inside


def test_an_end_before_the_start_is_refused():
    with pytest.raises(ValueError, match="not after the start"):
        inside_hours(at(10), at(9), [hours(9, 10)])


def test_stretches_that_overlap_become_one_and_others_stay_apart():
    assert stretches([hours(13, 18), hours(8, 11), hours(10, 12)], 3) == [
        hours(8, 12),
        hours(13, 18),
    ]


def test_a_span_needs_a_zone_and_a_length():
    with pytest.raises(ValueError, match="time zone"):
        Span(start=datetime.datetime(2026, 3, 12), end=datetime.datetime(2026, 3, 13))
    with pytest.raises(ValueError, match="can't end"):
        Span(start=at(9), end=at(9))
