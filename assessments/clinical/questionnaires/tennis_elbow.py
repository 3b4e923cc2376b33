"""Scoring of the Patient-Rated Tennis Elbow Evaluation (PRTEE), 15 items of 0–10.

Total = pain (5 items) + half of function (6 specific and 4 usual activities): 0 best, 100 worst.
The items and their wording are © Joy C. MacDermid and are not in this software; people answer the
clinic's own form and only the numbers are entered.

Sources
-------
Structure: the same author's wrist form has the same layout (published). Formula, missing items:
MacDermid's user manual, 2007 and 2010, from memory, not checked. How many items may be missing is
the clinic's own setting.
"""

from dataclasses import dataclass
from statistics import fmean

from assessments.clinical.change import ImportantChange, MeasurementError
from assessments.clinical.questionnaires.instrument import (
    Answers,
    Item,
    NotScorable,
    check_answers,
)
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop, say

NAME = gettext_noop("Patient-Rated Tennis Elbow Evaluation")
NOTICE = gettext_noop(
    "© Joy C. MacDermid. Answer the clinic's own form and enter the numbers by item."
)
LOW, HIGH = 0, 10
UNIT = gettext_noop("points")

PAIN = range(1, 6)
SPECIFIC = range(6, 12)
USUAL = range(12, 16)
FUNCTION = range(6, 16)

_PARTS = (
    (gettext_noop("Pain item %(number)s"), PAIN),
    (gettext_noop("Specific activity %(number)s"), SPECIFIC),
    (gettext_noop("Usual activity %(number)s"), USUAL),
)

ITEMS = tuple(
    Item(number=number, label=say(text, number=place), low=LOW, high=HIGH)
    for text, numbers in _PARTS
    for place, number in enumerate(numbers, start=1)
)

MAX_MISSING_PAIN = Figure(
    value=1,
    unit="items",
    source="the manual's limit was not read",
    status=Status.CLINIC_SETTING,
    limits="of 5 pain items",
)
MAX_MISSING_FUNCTION = Figure(
    value=2,
    unit="items",
    source="the manual's limit was not read",
    status=Status.CLINIC_SETTING,
    limits="of 10 function items",
)


@dataclass(frozen=True, kw_only=True)
class TennisElbowScore:
    """Pain 0–50, function 0–50, total 0–100; `filled_in` are items scored by their scale's mean."""

    pain: float
    function: float
    total: float
    filled_in: tuple[int, ...]


def score(answers: Answers) -> TennisElbowScore:
    """Return the score of `answers`: item number → 0–10, None or absent when not answered.

    A missing item takes the mean of the answered items of its scale (from memory of the manual).
    Raises NotScorable when more are missing than the settings allow, and ValueError for an unknown
    item or a value out of range.
    """
    check_answers(answers, ITEMS)
    pain = _answered(answers, PAIN)
    function = _answered(answers, FUNCTION)
    _refuse_if_too_many_missing(5 - len(pain), 10 - len(function))
    pain_score = 5 * fmean(pain)
    function_score = 10 * fmean(function) / 2
    return TennisElbowScore(
        pain=pain_score,
        function=function_score,
        total=pain_score + function_score,
        filled_in=tuple(item.number for item in ITEMS if answers.get(item.number) is None),
    )


def _answered(answers: Answers, numbers: range) -> list[int]:
    return [value for number in numbers if (value := answers.get(number)) is not None]


def _refuse_if_too_many_missing(pain: int, function: int) -> None:
    if pain > MAX_MISSING_PAIN.value:
        text = gettext_noop("%(missing)s of 5 pain items are missing; at most %(limit)s may be.")
        raise NotScorable(say(text, missing=pain, limit=int(MAX_MISSING_PAIN.value)))
    if function > MAX_MISSING_FUNCTION.value:
        text = gettext_noop(
            "%(missing)s of 10 function items are missing; at most %(limit)s may be."
        )
        raise NotScorable(say(text, missing=function, limit=int(MAX_MISSING_FUNCTION.value)))


@dataclass(frozen=True, kw_only=True)
class _Study:
    """Where a set of figures comes from, and in whom they were found."""

    source: str
    status: Status
    population: str
    method: str
    horizon: str
    limits: str = ""

    def figure(self, name: str, value: float, unit: str = UNIT) -> ImportantChange:
        """Return one figure of this study under the name it is shown by."""
        return ImportantChange(
            name=name,
            figure=Figure(
                value=value, unit=unit, source=self.source, status=self.status, limits=self.limits
            ),
            population=self.population,
            method=self.method,
            horizon=self.horizon,
        )


_POLTAWSKI = _Study(
    source="Poltawski & Watson, Hand Therapy 2011;16:52–57",
    status=Status.FROM_MEMORY,
    population=gettext_noop("tennis elbow"),
    method=gettext_noop("anchor: the patient's rating"),
    horizon=gettext_noop("time not known"),
    limits="which figure belongs to which answer is not certain",
)
_THREE_MONTHS = _Study(
    source="Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090",
    status=Status.PUBLISHED,
    population=gettext_noop("tennis elbow, n = 143"),
    method=gettext_noop("area under the curve 0.96"),
    horizon=gettext_noop("3 months"),
)
_PERSIAN = _Study(
    source="Persian version, Arch Bone Jt Surg, abjs.mums.ac.ir/article_21013",
    status=Status.PUBLISHED,
    population=gettext_noop("Persian version, n = 82"),
    method=gettext_noop("anchor: 7-point global rating, area under the curve 0.87"),
    horizon=gettext_noop("4 weeks of physiotherapy"),
)

TOTAL_ERROR = Figure(
    value=9.7,
    unit=UNIT,
    source=_THREE_MONTHS.source,
    status=Status.PUBLISHED,
    limits="least detectable change at 90 %, n = 143, 3 months; agreement 0.62 (0.21–0.86)",
)
# Shown beside it, never used to judge: the paper's own numbers don't agree.
TOTAL_ERROR_PERSIAN = Figure(
    value=14.24,
    unit=UNIT,
    source="Shafiee 2020, Persian version, n = 90",
    status=Status.PUBLISHED,
    limits="its printed standard error of 5.40 would give 14.97",
)
TOTAL_ERRORS = (
    MeasurementError(
        name=gettext_noop("the total"),
        figure=TOTAL_ERROR,
        population=_THREE_MONTHS.population,
        method=gettext_noop("least detectable change at 90 %; agreement 0.62 (0.21–0.86)"),
        horizon=_THREE_MONTHS.horizon,
    ),
    MeasurementError(
        name=gettext_noop("the total, Persian version: not used to judge"),
        figure=TOTAL_ERROR_PERSIAN,
        population=gettext_noop("Persian version, n = 90"),
        method=gettext_noop("as printed; its standard error of 5.40 would give 14.97"),
        horizon=gettext_noop("time not known"),
    ),
)

TOTAL_IMPORTANT = (
    _POLTAWSKI.figure(gettext_noop("a little better, points"), 7),
    _POLTAWSKI.figure(gettext_noop("a little better, percent"), 22, "%"),
    _POLTAWSKI.figure(gettext_noop("much better, points"), 11),
    _POLTAWSKI.figure(gettext_noop("much better, percent"), 37, "%"),
    _THREE_MONTHS.figure(gettext_noop("tennis elbow, 3 months"), 14.8),
    _PERSIAN.figure(gettext_noop("Persian version, 4 weeks"), 31.33),
)
PAIN_IMPORTANT = (_PERSIAN.figure(gettext_noop("Persian version, 4 weeks"), 14.5),)
FUNCTION_IMPORTANT = (_PERSIAN.figure(gettext_noop("Persian version, 4 weeks"), 15.5),)
