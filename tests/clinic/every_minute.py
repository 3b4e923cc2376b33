"""A reference for the first fits: it walks through every minute, and shares no step with what it checks."""

import datetime as dt
from collections import Counter

MINUTE, QUARTER = dt.timedelta(minutes=1), 15


def fits_by_the_minute(wish, taken, openings):
    """Every fit as (moment in UTC, who), in the order that a desk wants them."""
    walked = _walk(wish, openings.zone)
    shown = Counter(walked.values())
    grids = [_grid(weekday, openings.hours) for weekday in range(7)]
    free = {
        who: {minute for minute, wall in walked.items() if _is_free(minute, wall, spans, openings)}
        for who, spans in taken.items()
    }
    found = [
        (minute, who)
        for minute, wall in walked.items()
        for who in taken
        if wish.first <= wall.date() <= wish.last
        and shown[wall] == 1
        and minute >= openings.after
        and _minute_of_day(wall) in grids[wall.weekday()]
        and all(minute + n * MINUTE in free[who] for n in range(wish.minutes))
        and len({walked[minute + n * MINUTE].date() for n in range(wish.minutes)}) == 1
    ]
    return sorted(found, key=lambda fit: _rank(fit, wish, list(taken), walked))


def _walk(wish, zone):
    """What the clinic's clock shows at each minute, from a day before the wish to a day after it."""
    start = dt.datetime.combine(wish.first - dt.timedelta(days=1), dt.time(), dt.UTC)
    end = dt.datetime.combine(wish.last + dt.timedelta(days=2), dt.time(), dt.UTC)
    minutes = (start + n * MINUTE for n in range((end - start) // MINUTE))
    return {minute: minute.astimezone(zone).replace(tzinfo=None) for minute in minutes}


def _is_free(minute, wall, spans, openings):
    opened = any(
        one.weekday == wall.weekday() and one.opens <= wall.time() < one.closes
        for one in openings.hours
    )
    booked = any(span.start <= minute < span.end for span in spans)
    return opened and not booked and wall.date() not in openings.closed


def _minute_of_day(wall):
    return 60 * wall.hour + wall.minute


def _grid(weekday, hours):
    """The minutes of a weekday at which an appointment may start: every quarter hour from each opening."""
    opened = {
        minute
        for one in hours
        if one.weekday == weekday
        for minute in range(_minute_of_day(one.opens), _minute_of_day(one.closes))
    }
    first, found = None, set()
    for minute in sorted(opened):
        first = minute if minute - 1 not in opened else first
        if (minute - first) % QUARTER == 0:
            found.add(minute)
    return found


def _rank(fit, wish, people, walked):
    minute, who = fit
    wall = walked[minute]
    part = "morning" if wall.hour < 12 else "afternoon" if wall.hour < 17 else "evening"
    unmet = [
        wish.weekdays and wall.weekday() not in wish.weekdays,
        wish.parts and part not in wish.parts,
    ]
    return (
        sum(map(bool, unmet)),
        abs((wall.date() - wish.due).days),
        minute,
        people.index(who),
    )
