"""The tables of the file of cases without names, column by column: the dictionary is written from them."""

from collections.abc import Iterator
from dataclasses import dataclass

from assessments.clinical.measures import MEASURES
from cases.clinical.battery_optional import OPTIONAL
from cases.clinical.battery_tests import BATTERY
from cases.models import Battery, Case, Finding, Patient
from clinic.templatetags.clinic_tags import say
from rehab.models import Decision, Program

DATE, CODE = "date, moved", "code"
MOVED = "All dates of one patient are moved by the same number of days, so the days between them are true."
MADE = "Made anew for each file."
TYPED = "as typed by the clinic"


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column: what it means, its unit, which values it has, and by which method it came about."""

    name: str
    meaning: str
    unit: str = ""
    values: str = ""
    method: str = TYPED


def _one_of(choices) -> str:
    return "; ".join(value for value in choices.values if value)


PATIENT = Column(name="patient", meaning="whose", unit=CODE, method=MADE)
CASE = Column(name="case", meaning="one episode at one elbow", unit=CODE, method=MADE)
VISIT = Column(name="visit", meaning="a visit of the case that was signed", unit=CODE, method=MADE)
PAIN = {"unit": "0 to 10", "values": "whole numbers; 0 no pain, 10 the worst"}
TESTS = "; ".join(test.code for test in (*BATTERY, *OPTIONAL))

TABLES: dict[str, tuple[Column, ...]] = {
    "cases": (
        PATIENT,
        CASE,
        Column(
            name="age (years)",
            meaning="age when the case was opened",
            unit="years",
            values="whole numbers; 90 stands for 90 and more",
            method="from the birth date, which is left out",
        ),
        Column(name="age band", meaning="the same in tens", unit="years", values="as 40–49; 90+"),
        Column(name="sex", meaning="for reference values", values=_one_of(Patient.Sex)),
        Column(name="handedness", meaning="of the patient", values=_one_of(Patient.Handedness)),
        Column(name="side", meaning="which elbow", values=_one_of(Case.SideChoice)),
        Column(
            name="complaint before (days)",
            meaning="from its beginning, often a guess, to the opening",
            unit="days",
        ),
        Column(name="opened (date)", meaning="when the case was opened", unit=DATE, method=MOVED),
        Column(name="closed (date)", meaning="when it was closed", unit=DATE, method=MOVED),
        Column(name="status", meaning="how it stands or ended", values=_one_of(Case.Status)),
        Column(name="signed visits (count)", meaning="how many there were", unit="visits"),
    ),
    "visits": (
        CASE,
        VISIT,
        Column(name="on (date)", meaning="the day of the visit", unit=DATE, method=MOVED),
        Column(name="since opening (days)", meaning="from opening to the visit", unit="days"),
        Column(name="length (min)", meaning="time spent, where noted", unit="minutes"),
    ),
    "measures": (
        CASE,
        VISIT,
        Column(
            name="measure",
            meaning="what was measured",
            values="; ".join(measure.key for measure in MEASURES),
            method="see measure-dictionary.csv",
        ),
        Column(
            name="value",
            meaning="as scored when it was typed",
            unit="that of the measure",
            values="numbers; range in measure-dictionary.csv",
            method="see measure-dictionary.csv",
        ),
    ),
    "findings": (
        CASE,
        VISIT,
        Column(name="by", meaning="who tested", values=_one_of(Battery.PerformedBy)),
        Column(name="pain at rest (0 to 10)", meaning="before the tests", **PAIN),
        Column(name="test", meaning="which provocation test", values=TESTS),
        Column(name="done as", meaning="variant of the test", values="empty for the usual one"),
        Column(name="side", meaning="which elbow was tested", values=_one_of(Case.SideChoice)),
        Column(name="finger", meaning="of finger tests", unit="number", values="2 to 5; 3 is middle"),
        Column(name="answer", meaning="pain that it brought", values=_one_of(Finding.Answer)),
        Column(name="pain (0 to 10)", meaning="how strong", **PAIN),
        Column(name="strength", meaning="of resisted tests", values=_one_of(Finding.Strength)),
        Column(name="new tingling", meaning="during the test", values="yes; no"),
    ),
    "programs": (
        CASE,
        Column(name="version", meaning="number of the program in its case", values="1 and up"),
        Column(name="stage (1 to 5)", meaning="stage of the loading ladder", values="1 to 5"),
        Column(name="policy", meaning="how much pain is allowed", values=_one_of(Program.PolicyChoice)),
        Column(name="load (kg)", meaning="of the main exercise", unit="kg"),
        Column(name="issued (date)", meaning="when it was issued", unit=DATE, method=MOVED),
        Column(name="ended (date)", meaning="when the next one began", unit=DATE, method=MOVED),
    ),
    "decisions": (
        CASE,
        VISIT,
        Column(
            name="proposed",
            meaning="by the rules",
            values=_one_of(Decision.Choice),
            method="the rules and thresholds as they stood that day",
        ),
        Column(name="made", meaning="by the physiotherapist", values=_one_of(Decision.Choice)),
        Column(
            name="proposed load step",
            meaning="by the rules",
            values=_one_of(Decision.Step),
            method="the rules and thresholds as they stood that day",
        ),
        Column(name="load step", meaning="by the physiotherapist", values=_one_of(Decision.Step)),
    ),
    "diary": (
        CASE,
        Column(name="on (date)", meaning="the day", unit=DATE, method=MOVED),
        Column(name="sets (count)", meaning="sets done", unit="sets"),
        Column(name="last set (repetitions)", meaning="done in the last set", unit="repetitions"),
        Column(name="load (kg)", meaning="of the main exercise", unit="kg"),
        Column(name="hold (s)", meaning="how long it was held", unit="seconds"),
        Column(name="worst pain (0 to 10)", meaning="during the exercises", **PAIN),
        Column(name="pain next morning (0 to 10)", meaning="the morning after", **PAIN),
        Column(name="woken (count)", meaning="by the elbow in that night", unit="times"),
        Column(name="sharp or locking", meaning="sharp pain or locking", values="yes; no"),
    ),
}  # fmt: skip


def heads(table: str) -> tuple[str, ...]:
    return tuple(column.name for column in TABLES[table])


def dictionary() -> Iterator[tuple[str, ...]]:
    yield "file", "column", "meaning", "unit", "values", "method"
    for table, columns in TABLES.items():
        for one in columns:
            yield f"{table}.csv", one.name, one.meaning, one.unit, one.values, one.method


def measures() -> Iterator[tuple]:
    """Each measure of the register: unit, range, which way is better, who answers, error and its source."""
    yield (
        "measure", "name", "unit", "lowest", "highest", "better", "answered by",
        "measurement error", "unit of the error", "source", "status",
    )  # fmt: skip
    for one in MEASURES:
        about = one.key, say(one.name), say(one.unit), one.low, "" if one.high is None else one.high
        error = next(iter(one.errors), None)
        known = (
            (error.value, say(error.unit), error.source, error.status.value) if error else [""] * 4
        )
        yield *about, one.better.value, one.answered_by.value, *known
