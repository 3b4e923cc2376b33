"""What the course summary says, part by part."""

import datetime
from dataclasses import dataclass

from assessments.charts import Chart

from .advice import PainLimits
from .home_program import NextVisit
from .pieces import Words


@dataclass(frozen=True, kw_only=True)
class Why:
    """What the patient came with: since when, what brings the pain on, and what they want to do again."""

    began: datetime.date
    manner: Words = ""
    provoked: tuple[Words, ...] = ()
    occupation: str = ""
    sport: str = ""
    wants: tuple[str, ...] = ()
    injections: tuple[tuple[Words, datetime.date], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Spot:
    """One test with its familiar pain, 0–10, in the last round and, where it was done then, the first."""

    test: Words
    now: int
    first: int | None = None


@dataclass(frozen=True, kw_only=True)
class Round:
    """The last round of the battery, beside the first one where there are two.

    `hurt` of `done` tests gave the familiar pain on this side, `other_side` on the other one;
    `elsewhere` is what was seen and is not counted, a test with what it was.
    """

    on: datetime.date
    performed: Words
    resting_pain: int
    done: int
    hurt: int
    other_side: int
    spots: tuple[Spot, ...]
    elsewhere: tuple[tuple[Words, Words], ...] = ()
    first_on: datetime.date | None = None


@dataclass(frozen=True, kw_only=True)
class Flag:
    """One answer that is not a plain no, and what was done; a program waits where that `must_act`."""

    condition: Words
    known: bool
    note: str
    defers: Words
    must_act: bool
    done: str = ""
    done_on: datetime.date | None = None


@dataclass(frozen=True, kw_only=True)
class Screened:
    """The last screening: how many questions were asked, and the answers that are not a plain no."""

    on: datetime.date
    asked: int
    left: int
    flags: tuple[Flag, ...]
    signs: tuple[tuple[Words, Words], ...] = ()

    @property
    def held_up(self) -> bool:
        """Whether an answer must be acted on before a program is issued."""
        return any(flag.must_act and not flag.done for flag in self.flags)


@dataclass(frozen=True, kw_only=True)
class MeasureRow:
    """One measure at the start and now, and how many published important changes its change reached.

    `days` is set where they are not those of the sheet; a measure that was taken once has no `start`.
    """

    name: str
    now: str
    start: str = ""
    change: str = ""
    days: str = ""
    reached: int = 0
    published: int = 0


@dataclass(frozen=True, kw_only=True)
class Measured:
    """The measures that were compared, those that were taken once, and two charts; `on` is the last day."""

    on: datetime.date
    rows: tuple[MeasureRow, ...]
    once: tuple[MeasureRow, ...] = ()
    charts: tuple[Chart, ...] = ()
    captions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Work:
    """What the patient does now: the exercises of the program with the figures of their dose."""

    version: int
    stage: int
    aim: Words
    since: datetime.date
    limits: PainLimits
    exercises: tuple[tuple[Words, Words, Words], ...]


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What was decided, when the patient comes back, and what would change the plan.

    `waits` is what the next stage still waited for when it was decided; `changes` say what leads back
    or makes somebody look again. A closed case has `closed` alone.
    """

    closed: Words = ""
    decided: Words = ""
    decided_on: datetime.date | None = None
    next_visit: NextVisit | None = None
    due_on: datetime.date | None = None
    overdue: bool = False
    waits_title: Words = ""
    waits: tuple[Words, ...] = ()
    changes: tuple[Words, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Signed:
    """Who answers for the sheet, the last visit that was signed, and a later one that is not."""

    lead: str
    registration: str
    last_on: datetime.date | None
    last_by: str = ""
    draft_on: datetime.date | None = None
