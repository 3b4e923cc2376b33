"""Cases without names: codes, dates that are moved, ages without an end, and how few people are alike.

What is left is still about persons. Whoever knows somebody's age, elbow and sex may find them, the more
easily the fewer share them, so a file made with this is personal data and is not made public.

Sources
-------
Ages over 89 as one: HIPAA Privacy Rule, 45 CFR 164.514(b)(2)(i)(C), read second-hand. The same paragraph
has dates reduced to the year: dates that are moved are not its safe harbor.
Cell sizes: El Emam, "Guide to the De-Identification of Personal Health Information" (2013), "Cell size
precedents" (its abstract read); 11 also: CMS cell size suppression policy, as ResDAC describes it.
"""

import datetime
import hashlib
import hmac
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field

from cases.clinical.years import age_on
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

OLDEST = Figure(
    value=90,
    unit=gettext_noop("years"),
    source="45 CFR 164.514(b)(2)(i)(C)",
    status=Status.SECOND_HAND,
    limits=gettext_noop("Stands for 90 and more."),
)
BAND_YEARS = 10
FURTHEST = Figure(
    value=365,
    unit=gettext_noop("days"),
    source="",
    status=Status.CONVENTION,
    limits=gettext_noop("Earlier or later, never by none."),
)
_PRECEDENTS = "El Emam 2013, Cell size precedents (abstract)"
SMALLEST_CELLS = {
    number: Figure(
        value=number,
        unit=gettext_noop("people"),
        source=source,
        status=Status.SECOND_HAND,
        limits=limits,
    )
    for number, source, limits in (
        (3, _PRECEDENTS, gettext_noop("used by some who keep data")),
        (5, _PRECEDENTS, gettext_noop("the usual one for a long time")),
        (11, f"{_PRECEDENTS}; CMS, by ResDAC", gettext_noop("for what is made public")),
        (20, _PRECEDENTS, gettext_noop("for what is made public, stricter")),
    )
}
USUAL_CELL = 5


def age_in_years(born: datetime.date, on: datetime.date) -> int:
    """Return the age in whole years on a day, at most OLDEST. Raises ValueError before the birth."""
    return min(age_on(born, today=on), int(OLDEST.value))


def age_band(years: int) -> str:
    """Return the ten years that an age lies in, as 40–49; 90+ for the last one."""
    if years >= OLDEST.value:
        return f"{OLDEST.value:g}+"
    low = years // BAND_YEARS * BAND_YEARS
    return f"{low}–{low + BAND_YEARS - 1}"


@dataclass(frozen=True)
class Disguise:
    """Codes for rows and days to move dates by, out of a key that exists while one file is made.

    With the key gone, nobody can find the way back, and two files can't be laid on top of each other.
    """

    key: bytes = field(default_factory=lambda: secrets.token_bytes(32), repr=False)

    def code(self, kind: str, number: int) -> str:
        """Return a code of 16 signs for a row of a kind; the same row has the same one in this file."""
        return self._digest(kind, number).hex()[:16]

    def shift(self, patient: int) -> datetime.timedelta:
        """Return how far all dates of a patient are moved: 1 to FURTHEST days, earlier or later."""
        furthest = int(FURTHEST.value)
        drawn = int.from_bytes(self._digest("days", patient)[:8]) % (2 * furthest)
        return datetime.timedelta(days=drawn - furthest + (drawn >= furthest))

    def _digest(self, kind: str, number: int) -> bytes:
        return hmac.digest(self.key, f"{kind}:{number}".encode(), hashlib.sha256)


Alike = tuple[str, str, str]
Cells = dict[Alike, set[int]]


def cells_of(people: Iterable[tuple[int, Alike]]) -> Cells:
    """Return which people are alike in age band, sex and side; somebody with two elbows is in two cells."""
    found: Cells = {}
    for person, alike in people:
        found.setdefault(alike, set()).add(person)
    return found


def small_cells(cells: Cells, *, smallest: int) -> Cells:
    """Return the cells with fewer people than `smallest`."""
    return {alike: people for alike, people in cells.items() if len(people) < smallest}


def people_in(cells: Cells) -> int:
    """Return how many different people are in the cells."""
    return len(set().union(*cells.values()))
