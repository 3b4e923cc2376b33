"""The register of outcome measures: one row each; what is not in it is not measured.

Which measures belong in a record: core outcome set for tennis elbow, Bateman et al. (2022) Br J
Sports Med 56(12):657–66 (PRTEE, pain on gripping, pain-free grip, time off work); Lucado et al.
(2022) J Orthop Sports Phys Ther 52(12):CPG1–CPG111, doi 10.2519/jospt.2022.0302 (at baseline and at
least once later, discharge included; the patient's own activities).
"""

from dataclasses import dataclass

from assessments.clinical import activities, grip, pain
from assessments.clinical.change import Better, ImportantChange
from assessments.clinical.pain import Context
from assessments.clinical.questionnaires import tennis_elbow
from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


class AnsweredBy(Labelled):
    PATIENT = "patient", gettext_noop("the patient")
    CLINICIAN = "clinician", gettext_noop("the clinician")


class Due(Labelled):
    """When a measure is taken. Every visit and every day are common practice without a source."""

    EVERY_DAY = "every_day", gettext_noop("every day in the diary")
    EVERY_VISIT = "every_visit", gettext_noop("at every visit")
    START_REVIEW_END = "start_review_end", gettext_noop("at the start, at reviews, at discharge")


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One outcome measure; several `errors` differ by protocol, and their limits say which fits."""

    key: str
    name: str
    unit: str
    low: float
    high: float | None
    better: Better
    answered_by: AnsweredBy
    due: Due
    errors: tuple[Figure, ...] = ()
    important: tuple[ImportantChange, ...] = ()


def _pain(context: Context, name: str, due: Due) -> Measure:
    return Measure(
        key=f"pain_{context.value}",
        name=name,
        unit=pain.UNIT,
        low=pain.LOW,
        high=pain.HIGH,
        better=Better.DOWN,
        answered_by=AnsweredBy.PATIENT,
        due=due,
        errors=(pain.PAIN_ERROR,),
        important=pain.PAIN_IMPORTANT,
    )


def _questionnaire(
    key: str,
    name: str,
    high: float,
    errors: tuple[Figure, ...],
    important: tuple[ImportantChange, ...],
) -> Measure:
    return Measure(
        key=key,
        name=name,
        unit=tennis_elbow.UNIT,
        low=0,
        high=high,
        better=Better.DOWN,
        answered_by=AnsweredBy.PATIENT,
        due=Due.START_REVIEW_END,
        errors=errors,
        important=important,
    )


GLOBAL_RATING_ERROR = Figure(
    value=0.45,
    unit=gettext_noop("points"),
    source="Kamper et al. 2009 J Man Manip Ther 17:163–70",
    status=Status.FROM_MEMORY,
    limits="11-point scale −5 to +5; the rating mirrors the state of today more than the change",
)
GLOBAL_RATING_IMPORTANT = ImportantChange(
    name=gettext_noop("global rating, 11 points"),
    figure=Figure(
        value=2,
        unit=gettext_noop("points"),
        source="Kamper et al. 2009 J Man Manip Ther 17:163–70",
        status=Status.FROM_MEMORY,
        limits="not tennis elbow",
    ),
    population="several conditions",
    method="review",
    horizon="several",
)

_LOW_TO_HIGH_GRIP_N = (grip.PLAUSIBLE_N[0].value, grip.PLAUSIBLE_N[1].value)

MEASURES = (
    _pain(Context.AT_REST, gettext_noop("Pain at rest"), Due.EVERY_VISIT),
    _pain(Context.WORST_24H, gettext_noop("Worst pain in 24 h"), Due.EVERY_VISIT),
    _pain(Context.ON_GRIPPING, gettext_noop("Pain on gripping"), Due.EVERY_VISIT),
    _pain(Context.DURING_EXERCISE, gettext_noop("Pain during exercise"), Due.EVERY_DAY),
    _pain(Context.NEXT_MORNING, gettext_noop("Pain next morning"), Due.EVERY_DAY),
    Measure(
        key="grip_pain_free",
        name=gettext_noop("Pain-free grip"),
        unit="N",
        low=_LOW_TO_HIGH_GRIP_N[0],
        high=_LOW_TO_HIGH_GRIP_N[1],
        better=Better.UP,
        answered_by=AnsweredBy.CLINICIAN,
        due=Due.EVERY_VISIT,
        errors=(
            grip.AUTHORS_RULE_BETWEEN_VISITS,
            *(row.figure for row in grip.GRIP_ERRORS),
        ),
        important=grip.GRIP_IMPORTANT,
    ),
    Measure(
        key="grip_maximal",
        name=gettext_noop("Maximal grip"),
        unit="N",
        low=_LOW_TO_HIGH_GRIP_N[0],
        high=_LOW_TO_HIGH_GRIP_N[1],
        better=Better.UP,
        answered_by=AnsweredBy.CLINICIAN,
        due=Due.START_REVIEW_END,
    ),
    Measure(
        key="grip_ratio",
        name=gettext_noop("Grip ratio, affected to other side"),
        unit="",
        low=0,
        high=None,
        better=Better.UP,
        answered_by=AnsweredBy.CLINICIAN,
        due=Due.EVERY_VISIT,
    ),
    _questionnaire(
        "prtee",
        gettext_noop("Tennis elbow questionnaire, total"),
        100,
        (tennis_elbow.TOTAL_ERROR, tennis_elbow.TOTAL_ERROR_PERSIAN),
        tennis_elbow.TOTAL_IMPORTANT,
    ),
    _questionnaire(
        "prtee_pain",
        gettext_noop("Tennis elbow questionnaire, pain"),
        50,
        (),
        tennis_elbow.PAIN_IMPORTANT,
    ),
    _questionnaire(
        "prtee_function",
        gettext_noop("Tennis elbow questionnaire, function"),
        50,
        (),
        tennis_elbow.FUNCTION_IMPORTANT,
    ),
    Measure(
        key="activities",
        name=gettext_noop("The patient's own activities"),
        unit=activities.UNIT,
        low=activities.LOW,
        high=activities.HIGH,
        better=Better.UP,
        answered_by=AnsweredBy.PATIENT,
        due=Due.START_REVIEW_END,
        errors=(activities.MEAN_ERROR, activities.ONE_ACTIVITY_ERROR),
    ),
    Measure(
        key="global_rating",
        name=gettext_noop("Global rating of change"),
        unit=gettext_noop("points"),
        low=-5,
        high=5,
        better=Better.UP,
        answered_by=AnsweredBy.PATIENT,
        due=Due.START_REVIEW_END,
        errors=(GLOBAL_RATING_ERROR,),
        important=(GLOBAL_RATING_IMPORTANT,),
    ),
    Measure(
        key="time_off_work",
        name=gettext_noop("Time off work"),
        unit=gettext_noop("days"),
        low=0,
        high=None,
        better=Better.DOWN,
        answered_by=AnsweredBy.PATIENT,
        due=Due.START_REVIEW_END,
    ),
)

BY_KEY = {measure.key: measure for measure in MEASURES}
