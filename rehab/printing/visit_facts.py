"""What the printed record of one visit says, part by part."""

import datetime
from dataclasses import dataclass

from .ledger import Footnote
from .paper import Sheet
from .pieces import Words


@dataclass(frozen=True, kw_only=True)
class Written:
    """One section of the notes, as it was typed."""

    label: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Said:
    """Sentences that belong together, under a title or under none."""

    title: Words
    sentences: tuple[Words, ...]


@dataclass(frozen=True, kw_only=True)
class FindingRow:
    """The answer of one test; `remark` is where, strength, how, or why not."""

    test: Words
    side: str
    answer: str
    pain: str
    remark: str


@dataclass(frozen=True, kw_only=True)
class BatteryFacts:
    """One round: who tested, from which resting pain (0–10), what was found, what it says."""

    on: datetime.date
    performed_by: str
    resting_pain: int
    despite: str
    reading: tuple[Said, ...]
    findings: tuple[FindingRow, ...]
    points: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class MeasureRow:
    """One measure at the start, the last time and at this visit, with units."""

    name: Words
    mark: str
    start: str
    last: str
    here: str
    change: str


@dataclass(frozen=True, kw_only=True)
class TrialsRow:
    """The trials of one side in one way, in their order; `why` is empty where a trial counts."""

    way: Words
    side: str
    trials: tuple[tuple[str, Words], ...]


@dataclass(frozen=True, kw_only=True)
class MeasureFacts:
    rows: tuple[MeasureRow, ...]
    footnotes: tuple[Footnote, ...]
    trials: tuple[TrialsRow, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CriterionRow:
    """One criterion as it stood; `held` is None when a value was missing."""

    held: bool | None
    words: Words
    mark: str
    found: Words
    gate: str


@dataclass(frozen=True, kw_only=True)
class CriteriaGroup:
    title: Words
    rows: tuple[CriterionRow, ...]


@dataclass(frozen=True, kw_only=True)
class DecisionFacts:
    """What the rules proposed about program `version`, what was decided, and why."""

    version: int
    proposed: str
    made: str
    by: str
    at: datetime.datetime
    reason: str
    reasons: tuple[Words, ...]
    messages: tuple[tuple[Words, Words], ...]
    criteria: tuple[CriteriaGroup, ...]
    footnotes: tuple[Footnote, ...]


@dataclass(frozen=True, kw_only=True)
class ProgramFacts:
    """The program that the patient had on the evening of the visit, or had until that day."""

    version: int
    stage: int
    stage_name: Words
    issued_on: datetime.date
    ended_on: datetime.date | None


@dataclass(frozen=True, kw_only=True)
class Signature:
    name: str
    registration: str
    at: datetime.datetime


@dataclass(frozen=True, kw_only=True)
class Added:
    """One addendum to a signed visit."""

    text: str
    reason: str
    by: str
    at: datetime.datetime


@dataclass(frozen=True, kw_only=True)
class VisitRecord(Sheet):
    """Everything the printed record says; without a `signature` the visit is a draft."""

    born: datetime.date
    elbow: Words
    seen_by: str
    minutes: int | None
    due_on: datetime.date | None
    notes: tuple[Written, ...]
    battery: BatteryFacts | None
    measures: MeasureFacts | None
    decision: DecisionFacts | None
    program: ProgramFacts | None
    signature: Signature | None
    addenda: tuple[Added, ...]
    printed_at: datetime.datetime
