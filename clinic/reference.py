"""The number of a request: on its error page, in the log, and with all that it leaves in the audit trail."""

import secrets
import time

# No 0 and O, no 1, I and L: the number is read out on the phone. In the order in which texts are sorted.
SIGNS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
GROUP, GROUPS = 4, 3
TIME = 6  # signs that count seconds since 2026; they begin anew after 28 years
SINCE = 1_767_225_600  # 1 Jan 2026, as seconds since 1970
LONGEST = GROUP * GROUPS + GROUPS - 1


def new_reference() -> str:
    """Twelve signs such as 4KQ2-M9TD-7HXA, half of them the time, so that an index grows at its end."""
    chance = "".join(secrets.choice(SIGNS) for _sign in range(GROUP * GROUPS - TIME))
    return _grouped(_written(int(time.time()) - SINCE) + chance)


def as_typed(text: str) -> str:
    """Return the reference that somebody means, whatever the case of its letters and with or without dashes.

    What can't be one is given back as it is: older entries of the trail have numbers of another form.
    """
    signs = "".join(text.upper().replace("-", " ").split())
    known = len(signs) == GROUP * GROUPS and set(signs) <= set(SIGNS)
    return _grouped(signs) if known else text.strip()


def _written(seconds: int) -> str:
    signs = ""
    for _place in range(TIME):
        seconds, digit = divmod(seconds, len(SIGNS))
        signs = SIGNS[digit] + signs
    return signs


def _grouped(signs: str) -> str:
    return "-".join(signs[at : at + GROUP] for at in range(0, len(signs), GROUP))
