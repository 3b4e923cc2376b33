"""When an e-mail that did not get through is tried again, and when no longer.

RFC 5321 (Klensin, 2008), 4.5.4.1: wait at least 30 minutes, and go on for four to five days. An appointment
sets an earlier end: what arrives when the patient should have set out has not arrived.
"""

import datetime

FIRST_WAIT = datetime.timedelta(minutes=30)
LONGEST_WAIT = datetime.timedelta(hours=4)
GIVE_UP_AFTER = datetime.timedelta(days=5)
BEFORE_START = datetime.timedelta(hours=2)  # common practice, no source


def last_try(*, written: datetime.datetime, starts: datetime.datetime) -> datetime.datetime:
    """Return the moment of the last try for an e-mail that was written then about an appointment."""
    return min(written + GIVE_UP_AFTER, starts - BEFORE_START)


def next_try(
    *, tries: int, now: datetime.datetime, last: datetime.datetime
) -> datetime.datetime | None:
    """Return when to try again after `tries` failures, the latest just now; None when that was the last.

    The wait doubles from try to try. Raises ValueError for fewer than one failure.
    """
    if tries < 1:
        raise ValueError(f"{tries} tries have not failed yet")
    if now >= last:
        return None
    # The exponent is held: so many doublings are past the longest wait anyway.
    wait = min(FIRST_WAIT * 2 ** min(tries - 1, 16), LONGEST_WAIT)
    return min(now + wait, last)
