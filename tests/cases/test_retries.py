"""When an e-mail is tried again: RFC 5321, 4.5.4.1, and the appointment itself set the bounds."""

import datetime
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.retries import GIVE_UP_AFTER, last_try, next_try

NOW = datetime.datetime(2026, 3, 12, 9, tzinfo=datetime.UTC)
# RFC 5321, 4.5.4.1: "the retry interval SHOULD be at least 30 minutes", "the give-up time generally needs
# to be at least 4-5 days".
SHORTEST = datetime.timedelta(minutes=30)
LONG_ENOUGH = datetime.timedelta(days=4)
FAR = datetime.timedelta(days=60)

moments = st.datetimes(
    datetime.datetime(2026, 1, 1), datetime.datetime(2027, 1, 1), timezones=st.just(datetime.UTC)
)


def tries(written, starts):
    """Every moment at which an e-mail is tried that never gets through."""
    last, now, count = last_try(written=written, starts=starts), written, 1
    yield now
    while now := next_try(tries=count, now=now, last=last):
        yield now
        count += 1


def test_the_wait_doubles_up_to_four_hours():
    waits = [
        next_try(tries=count, now=NOW, last=NOW + FAR) - NOW for count in (1, 2, 3, 4, 5, 1000)
    ]
    assert waits == [datetime.timedelta(minutes=m) for m in (30, 60, 120, 240, 240, 240)]


def test_far_from_the_appointment_it_is_tried_for_as_long_as_the_standard_wants():
    when = list(tries(NOW, NOW + FAR))

    assert LONG_ENOUGH <= when[-1] - NOW == GIVE_UP_AFTER
    # All but the last, which the bound itself sets.
    assert min(b - a for a, b in itertools.pairwise(when[:-1])) >= SHORTEST


def test_the_last_try_is_two_hours_before_the_appointment():
    starts = NOW + datetime.timedelta(hours=26)

    assert list(tries(NOW, starts))[-1] == NOW + datetime.timedelta(hours=24)


@pytest.mark.parametrize("hours", [0, 1, 2])
def test_shortly_before_the_appointment_the_first_try_is_the_last(hours):
    assert list(tries(NOW, NOW + datetime.timedelta(hours=hours))) == [NOW]


@given(written=moments, ahead=st.timedeltas(datetime.timedelta(0), FAR))
def test_tries_move_on_end_and_never_come_after_the_last(written, ahead):
    when = list(tries(written, written + ahead))

    assert when == sorted(set(when))
    assert len(when) < 40
    assert when[1:] == [] or when[-1] == last_try(written=written, starts=written + ahead)


def test_what_has_not_failed_yet_has_no_next_try():
    with pytest.raises(ValueError, match="0 tries have not failed yet"):
        next_try(tries=0, now=NOW, last=NOW + FAR)
