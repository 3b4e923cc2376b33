"""Which of the agreed outcome measures a case has, at the start, in between and at discharge.

Sources
-------
Bateman et al. (2022) Br J Sports Med 56(12):657–66, table 3: the core outcome set of tennis elbow, one core
measure and five interim ones. Lucado et al. (2022) J Orthop Sports Phys Ther 52(12):CPG1–CPG111, doi
10.2519/jospt.2022.0302: the questionnaire at baseline and at least once later, discharge included; the
patient's own activities where demand is high. How soon a questionnaire is asked again is a clinic setting.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from assessments.clinical.measures import CORE_SET, GUIDELINE, CoreSet
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

AGAIN_AFTER = Figure(
    value=6,
    unit=gettext_noop("weeks"),
    source="no published interval was found; the guideline asks for one later date and discharge",
    status=Status.CLINIC_SETTING,
    limits="the questionnaire and the patient's own activities",
)
PAIN_ITEMS = frozenset({1, 4, 5})


class Ask(StrEnum):
    """What is asked for at a visit; one questionnaire answers three of the rows."""

    QUESTIONNAIRE = gettext_noop("the questionnaire, 15 items")
    PAIN = gettext_noop("pain on gripping")
    GRIP = gettext_noop("pain-free grip")
    TIME_OFF = gettext_noop("days off work")
    ACTIVITIES = gettext_noop("the patient's own activities")


# Their answers change slowly and take time to give; the others are short, and belong to every visit.
ASKED_AGAIN_LATER = (Ask.QUESTIONNAIRE, Ask.ACTIVITIES)


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One row of the agreed measures; `key` is the measure of the register, or `items` of its form."""

    domain: str
    measure: str
    level: CoreSet
    source: str
    ask: Ask
    key: str = ""
    items: frozenset[int] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What one visit measured: keys of the register, and the questionnaire items answered."""

    on: datetime.date
    keys: frozenset[str] = frozenset()
    items: frozenset[int] = frozenset()

    def has(self, wanted: Wanted) -> bool:
        """Return whether the visit holds what this row asks for."""
        return wanted.key in self.keys if wanted.key else wanted.items <= self.items

    @property
    def anything(self) -> bool:
        """Whether anything at all was measured."""
        return bool(self.keys or self.items)


def _core(
    domain: str, measure: str, ask: Ask, level: CoreSet = CoreSet.INTERIM, **what: Any
) -> Wanted:
    return Wanted(domain=domain, measure=measure, level=level, source=CORE_SET, ask=ask, **what)


WANTED = (
    _core(
        gettext_noop("Disability"),
        gettext_noop("questionnaire, total"),
        Ask.QUESTIONNAIRE,
        CoreSet.CORE,
        key="prtee",
    ),
    _core(
        gettext_noop("Function"),
        gettext_noop("questionnaire, function"),
        Ask.QUESTIONNAIRE,
        key="prtee_function",
    ),
    _core(
        gettext_noop("Pain over a stated time"),
        gettext_noop("questionnaire, items 1, 4 and 5"),
        Ask.QUESTIONNAIRE,
        items=PAIN_ITEMS,
    ),
    _core(
        gettext_noop("Pain on loading"),
        gettext_noop("pain on gripping"),
        Ask.PAIN,
        key="pain_on_gripping",
    ),
    _core(
        gettext_noop("Physical capacity"),
        gettext_noop("pain-free grip"),
        Ask.GRIP,
        key="grip_pain_free",
    ),
    _core(
        gettext_noop("Participation"),
        gettext_noop("days off work"),
        Ask.TIME_OFF,
        key="time_off_work",
    ),
    Wanted(
        domain=gettext_noop("High-demand activity"),
        measure=gettext_noop("the patient's own activities"),
        level=CoreSet.NOT_NAMED,
        source=GUIDELINE,
        ask=Ask.ACTIVITIES,
        key="activities",
    ),
)


@dataclass(frozen=True, kw_only=True)
class Cell:
    """Whether one row was measured on one occasion; `there` None where the occasion has not come."""

    there: bool | None
    on: datetime.date | None = None


@dataclass(frozen=True, kw_only=True)
class Row:
    """One agreed measure over a case."""

    wanted: Wanted
    baseline: Cell
    interim: Cell
    discharge: Cell

    @property
    def cells(self) -> tuple[Cell, Cell, Cell]:
        """The three occasions in their order."""
        return self.baseline, self.interim, self.discharge


def completeness(visits: Sequence[Taken], *, closed: bool) -> tuple[Row, ...]:
    """Return each agreed measure at the start, in between and at discharge.

    `visits` are in their order. The start is the first visit at which anything was measured (the first of
    all while nothing was); discharge is the last one of a `closed` case. Raises ValueError when the dates
    are not in order.
    """
    days = [visit.on for visit in visits]
    if days != sorted(days):
        raise ValueError("the visits are not in their order")
    begun = [visit.anything for visit in visits]
    first = begun.index(True) if any(begun) else 0
    later = list(visits[first + 1 :])
    last = [later.pop()] if closed and later else []
    return tuple(
        Row(
            wanted=wanted,
            baseline=_cell(wanted, visits[first : first + 1]),
            interim=_cell(wanted, later),
            # A case that was closed after a single visit has no measure at discharge.
            discharge=_cell(wanted, last) if last or not closed else Cell(there=False),
        )
        for wanted in WANTED
    )


def _cell(wanted: Wanted, visits: Sequence[Taken]) -> Cell:
    """The newest of these visits that has it; no visit, nothing to say."""
    if not visits:
        return Cell(there=None)
    on = next((visit.on for visit in reversed(visits) if visit.has(wanted)), None)
    return Cell(there=on is not None, on=on)


def due(earlier: Sequence[Taken], today: Taken) -> tuple[Ask, ...]:
    """Return what is still to be asked for at today's visit.

    Short measures are due at every visit; a questionnaire and the patient's own activities when they were
    never complete, or `AGAIN_AFTER` or longer ago. Raises ValueError when an earlier visit is later.
    """
    if any(visit.on > today.on for visit in earlier):
        raise ValueError("an earlier visit is dated later than today's")
    open_rows = (row for row in WANTED if not today.has(row) and _due_again(row, earlier, today.on))
    return tuple(dict.fromkeys(row.ask for row in open_rows))


def _due_again(wanted: Wanted, earlier: Sequence[Taken], on: datetime.date) -> bool:
    if wanted.ask not in ASKED_AGAIN_LATER:
        return True
    newest = max((visit.on for visit in earlier if visit.has(wanted)), default=None)
    return newest is None or on - newest >= datetime.timedelta(weeks=AGAIN_AFTER.value)
