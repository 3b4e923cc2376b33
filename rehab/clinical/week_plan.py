"""On which days of the week an exercise is done, and how long a day's work takes.

48 hours between heavy sessions: a registered trial of heavy slow resistance (NCT06774547), read on a copy of
the register. The minutes are our own estimate; where a dose names no tempo or rest, ACSM 2009 stands in: the
upper end of 1–2 s up and 1–2 s down, the lower end of 1–2 min rest for light work (from memory).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

from .dose import Dose
from .stages import HEAVY, Stage

HEAVY_APART = Figure(
    value=48,
    unit="h",
    source="registered trial NCT06774547",
    status=Status.SECOND_HAND,
    limits=gettext_noop("At least, between sessions of heavy slow resistance."),
)
REPETITION = Figure(
    value=4,
    unit="s",
    source="ACSM 2009, doi:10.1249/MSS.0b013e3181915670",
    status=Status.PUBLISHED,
    limits=gettext_noop("1–2 s up and 1–2 s down, where a dose names no tempo."),
)
REST = Figure(
    value=60,
    unit="s",
    source="ACSM 2009, doi:10.1249/MSS.0b013e3181915670",
    status=Status.FROM_MEMORY,
    limits=gettext_noop("1–2 min for light work, where a dose names no rest."),
)
WEEK = 7
_DAYS_APART = round(HEAVY_APART.value / 24)


def is_heavy(stage: Stage, card: str) -> bool:
    """Return whether an exercise is heavy work there: what follows repetition maxima in stages 3 and 4."""
    return stage in (Stage.SLOW_RESISTANCE, Stage.HEAVY_AND_FAST) and card in HEAVY


def _gaps(days: tuple[int, ...]) -> list[int]:
    """Days from each day to the next; the week begins anew after its last."""
    following = (*days[1:], days[0] + WEEK)
    return [after - day for day, after in zip(days, following, strict=True)]


def days_for(weekdays: Iterable[int], count: int, *, heavy: bool = False) -> tuple[int, ...] | None:
    """Return `count` of the days (0 is Monday), as evenly apart as they allow, the earliest first.

    Heavy days have 48 hours between them, over the end of the week too. None where the days don't hold
    it. Raises ValueError for a day outside 0 to 6 or a count below 1.
    """
    chosen = sorted(set(weekdays))
    if any(not 0 <= day < WEEK for day in chosen) or count < 1:
        raise ValueError("days are 0 to 6, and at least one is asked")
    least = _DAYS_APART if heavy else 1
    found = [days for days in combinations(chosen, count) if min(_gaps(days)) >= least]
    return max(found, key=lambda days: min(_gaps(days)), default=None)


# fmt: off
DAYS = (
    gettext_noop("Monday"), gettext_noop("Tuesday"), gettext_noop("Wednesday"),
    gettext_noop("Thursday"), gettext_noop("Friday"), gettext_noop("Saturday"),
    gettext_noop("Sunday"),
)
# fmt: on


def days_said(days: Iterable[int]) -> Sentence:
    """Return days of the week (0 is Monday) in words, for example "Monday, Wednesday and Friday".

    Raises ValueError for no day at all.
    """
    first, *rest = sorted(set(days)) or (None,)
    if first is None:
        raise ValueError("at least one day is needed")
    if not rest:
        return say(DAYS[first])
    if len(rest) == 1:
        return say("%(first)s and %(last)s", first=DAYS[first], last=DAYS[rest[0]])
    return say("%(first)s, %(others)s", first=DAYS[first], others=days_said(rest))


def session_s(dose: Dose) -> float:
    """Return the seconds of one session by our own estimate: sets × (repetitions × tempo + rest)."""
    each = (dose.up_s or 0) + (dose.down_s or 0) + (dose.hold_s or 0)
    if dose.repetitions is None:
        work = float(dose.hold_s or 0)
    else:
        work = dose.repetitions * (each or REPETITION.value)
    return dose.sets * (work + (REST.value if dose.rest_s is None else dose.rest_s))


@dataclass(frozen=True, kw_only=True)
class Planned:
    """One exercise in a week: on which days, how many minutes a day. No days: the week doesn't hold it."""

    card: str
    days: tuple[int, ...] | None
    minutes: float


@dataclass(frozen=True, kw_only=True)
class WeekPlan:
    """A week of a program over the days that the patient can train; 0 is Monday."""

    rows: tuple[Planned, ...]
    heavy: tuple[int, ...] = ()

    def minutes_on(self, day: int) -> float:
        """Return the expected minutes of a weekday."""
        return sum(row.minutes for row in self.rows if row.days and day in row.days)

    @property
    def longest(self) -> float:
        """Return the minutes of the longest day, 0 without any."""
        return max((self.minutes_on(day) for day in range(WEEK)), default=0.0)


def week_plan(
    doses: Iterable[tuple[str, Dose]], weekdays: Iterable[int], *, stage: Stage
) -> WeekPlan:
    """Return which exercise (code and dose) is done on which of the days.

    All heavy work falls on the same days, so that the days between are free of it.
    """
    given, able = tuple(doses), tuple(weekdays)
    most = max((dose.days_per_week for card, dose in given if is_heavy(stage, card)), default=0)
    heavy = days_for(able, most, heavy=True) if most else ()
    rows = []
    for card, dose in given:
        days = days_for(able, dose.days_per_week)
        if is_heavy(stage, card):
            days = days_for(heavy, dose.days_per_week, heavy=True) if heavy else None
        minutes = session_s(dose) * dose.sessions_per_day / 60
        rows.append(Planned(card=card, days=days, minutes=minutes))
    return WeekPlan(rows=tuple(rows), heavy=heavy or ())
