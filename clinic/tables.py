"""Lists of the practice as rows for a file: codes, and moments with their offset from UTC."""

import datetime
import zoneinfo
from collections.abc import Callable, Iterable, Iterator

from clinic.csv_file import AT_ONCE
from clinic.models import Clinic, SignIn, Staff

STAFF = (
    "family name", "given name", "role", "registration number", "sees patients (yes or no)",
    "last signed in (date and time)", "account",
)  # fmt: skip
SIGN_INS = (
    "at (date and time)", "family name", "given name", "outcome", "from (IP address)", "browser",
)  # fmt: skip


def clock_of(clinic: Clinic) -> Callable[[datetime.datetime | None], str]:
    """How a moment is written: on the clinic's own clock, to the minute, with its offset."""
    zone = zoneinfo.ZoneInfo(clinic.time_zone)

    def write(moment: datetime.datetime | None) -> str:
        return moment.astimezone(zone).isoformat(timespec="minutes") if moment else ""

    return write


def yes_or_no(value: bool) -> str:
    return "yes" if value else "no"


def staff_rows(people: Iterable[tuple[Staff, bool]], clinic: Clinic) -> Iterator[tuple]:
    """Each person with whether too many wrong passwords keep them waiting."""
    at = clock_of(clinic)
    yield STAFF
    for one, waits in people:
        account = "waits" if waits else "open"
        yield (
            one.last_name, one.first_name, one.role, one.registration_number, yes_or_no(one.treats),
            at(one.last_login), account if one.is_active else "closed",
        )  # fmt: skip


def sign_in_rows(attempts: Iterable[SignIn], clinic: Clinic) -> Iterator[tuple]:
    at = clock_of(clinic)
    yield SIGN_INS
    for one in attempts.iterator(AT_ONCE):
        names = (one.staff.last_name, one.staff.first_name) if one.staff else ("", "")
        yield at(one.at), *names, one.outcome, one.address or "", one.browser
