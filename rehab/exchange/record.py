"""What is exchanged of a case: `gather` fills it, `document` writes it, `reading` reads it.

Only what is signed or issued is exchanged. Nothing in here names a row of a database, so a case that was
brought in elsewhere gathers to an equal `CaseRecord`; whose it is stands in `Source`.
"""

import datetime
import uuid
from dataclasses import dataclass

from cases.clinical.sides import Side
from rehab.clinical.codes import DiagnosisCodes


@dataclass(frozen=True, kw_only=True)
class Author:
    """Somebody of a clinic, with the registration number, as their account says now."""

    given: str = ""
    family: str
    registration: str = ""

    @property
    def name(self) -> str:
        return f"{self.given} {self.family}".strip()


@dataclass(frozen=True, kw_only=True)
class Source:
    """Where a record comes from and what it is coded by.

    `space` makes the identifiers of the case its own, `clinic_space` those of the patient and the staff, who
    are the same in every case of the clinic.
    """

    space: uuid.UUID
    clinic_space: uuid.UUID
    clinic: str
    address: str
    phone: str
    record: str
    made_at: datetime.datetime
    diagnosis_codes: DiagnosisCodes = DiagnosisCodes.WHO
    snomed: bool = False


@dataclass(frozen=True, kw_only=True)
class Person:
    given: str
    family: str
    born: datetime.date
    sex: str
    handedness: str
    phone: str = ""
    email: str = ""
    language: str = "en"


@dataclass(frozen=True, kw_only=True)
class Activity:
    position: int
    name: str


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One squeeze in newtons; `struck` says why it does not count."""

    number: int
    force_n: float
    struck: str = ""


@dataclass(frozen=True, kw_only=True)
class Grip:
    side: str
    position: str
    effort: str
    unit: str
    trials: tuple[Trial, ...]

    @property
    def counting_n(self) -> tuple[float, ...]:
        return tuple(trial.force_n for trial in self.trials if not trial.struck)


@dataclass(frozen=True, kw_only=True)
class Form:
    """The numbers beside the items of a questionnaire, None where one is empty; never their wording."""

    instrument: str
    items: tuple[int | None, ...]


@dataclass(frozen=True, kw_only=True)
class Finding:
    """The answer of one provocation test on one side, for a finger test of one finger."""

    test: str
    side: str
    answer: str
    finger: int | None = None
    pain: int | None = None
    where: str = ""
    why_not_done: str = ""
    strength: str = ""
    tingling: bool = False
    variant: str = ""


@dataclass(frozen=True, kw_only=True)
class Pressed:
    """How much one named point of one elbow hurt when it was pressed."""

    point: str
    side: str
    pain: int


@dataclass(frozen=True, kw_only=True)
class Round:
    """One round of the battery, in the order in which it was written."""

    performed_on: datetime.date
    performed_by: str
    resting_pain: int
    despite: str = ""
    findings: tuple[Finding, ...] = ()
    points: tuple[Pressed, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Added:
    """An addendum to a signed visit."""

    text: str
    reason: str
    author: Author
    at: datetime.datetime


@dataclass(frozen=True, kw_only=True)
class VisitRecord:
    """A signed visit; `values` are what was scored from it, by the register's key."""

    on: datetime.date
    practitioner: Author
    signed_by: Author
    signed_at: datetime.datetime
    signed_name: str
    signed_registration: str = ""
    subjective: str = ""
    objective: str = ""
    assessment: str = ""
    treatment: str = ""
    plan: str = ""
    minutes: int | None = None
    due_on: datetime.date | None = None
    pains: tuple[tuple[str, int], ...] = ()
    grips: tuple[Grip, ...] = ()
    forms: tuple[Form, ...] = ()
    activities: tuple[tuple[int, int], ...] = ()
    global_rating: int | None = None
    time_off_work: int | None = None
    values: tuple[tuple[str, float], ...] = ()
    battery: Round | None = None
    added: tuple[Added, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """One exercise with its dose; `words` is the card as issued, `name` and `dose` what a person reads."""

    position: int
    card: str
    name: str
    dose: str
    sets: int
    days_per_week: int
    sessions_per_day: int = 1
    repetitions: int | None = None
    hold_s: int | None = None
    load_kg: float | None = None
    up_s: int | None = None
    down_s: int | None = None
    rest_s: int | None = None
    remark: str = ""
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class ProgramRecord:
    """One issued version of the program."""

    version: int
    stage: int
    stage_since: datetime.date
    policy: str
    load_since: datetime.date
    edition: str
    issued_at: datetime.datetime
    issued_by: Author
    smallest_step_kg: float = 0.1
    load_kg: float | None = None
    start_load_kg: float | None = None
    weekdays: tuple[int, ...] = ()
    remark: str = ""
    return_plan: str = ""
    job_load_kg: float | None = None
    return_step: int | None = None
    more_because: str = ""
    ended_at: datetime.datetime | None = None
    withdrawn_because: str = ""
    exercises: tuple[Exercise, ...] = ()


@dataclass(frozen=True, kw_only=True)
class DiaryDay:
    """One day that the patient wrote down, under the version of the program that was done."""

    on: datetime.date
    version: int
    sets_done: int
    last_set_repetitions: int | None = None
    load_kg: float | None = None
    hold_s: int | None = None
    worst_pain: int | None = None
    next_morning_pain: int | None = None
    night_wakings: int | None = None
    sharp_or_locking: bool = False
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class Booking:
    """An appointment about the case."""

    starts_at: datetime.datetime
    ends_at: datetime.datetime
    practitioner: Author
    kind: str
    status: str
    arrived_at: datetime.datetime | None = None
    cancelled_at: datetime.datetime | None = None
    cancel_reason: str = ""
    sequence: int = 0


@dataclass(frozen=True, kw_only=True)
class CaseRecord:
    """One case, whole; lists in the order in which they were written."""

    patient: Person
    side: Side
    onset: datetime.date
    opened: datetime.date
    lead: Author
    status: str = "open"
    closed: datetime.date | None = None
    discharge_reason: str = ""
    due_on: datetime.date | None = None
    activities: tuple[Activity, ...] = ()
    visits: tuple[VisitRecord, ...] = ()
    programs: tuple[ProgramRecord, ...] = ()
    diary: tuple[DiaryDay, ...] = ()
    bookings: tuple[Booking, ...] = ()

    @property
    def authors(self) -> tuple[Author, ...]:
        """Everybody who is named, each once, in the order in which they are met."""
        met = [self.lead]
        for visit in self.visits:
            met += [visit.practitioner, visit.signed_by, *(one.author for one in visit.added)]
        met += [program.issued_by for program in self.programs]
        met += [booking.practitioner for booking in self.bookings]
        return tuple(dict.fromkeys(met))
