"""The register of outcome measures: one row each; what is not in it is not measured.

Which measures belong in a record: core outcome set for tennis elbow, Bateman et al. (2022) Br J
Sports Med 56(12):657–66, table 3; Lucado et al. (2022) J Orthop Sports Phys Ther 52(12):CPG1–CPG111,
doi 10.2519/jospt.2022.0302 (the questionnaire at baseline and at least once later, discharge included; the
patient's own activities where demand is high). Which measure is asked for at which visit beyond that is
common practice without a source.
"""

from dataclasses import dataclass, replace

from assessments.clinical import activities, global_rating, grip, pain
from assessments.clinical.change import (
    Better,
    Change,
    ImportantChange,
    MeasurementError,
    compare,
)
from assessments.clinical.pain import Context
from assessments.clinical.questionnaires import tennis_elbow
from cases.clinical.labels import Labelled
from clinic.evidence import Figure
from clinic.wording import gettext_noop

CORE_SET = "Bateman et al. 2022 Br J Sports Med 56(12):657–66, table 3"
GUIDELINE = "Lucado et al. 2022 J Orthop Sports Phys Ther 52(12):CPG1–CPG111"


class AnsweredBy(Labelled):
    PATIENT = "patient", gettext_noop("the patient")
    CLINICIAN = "clinician", gettext_noop("the clinician")


class Occasion(Labelled):
    """When a measure is due."""

    BASELINE = "baseline", gettext_noop("at the start")
    INTERIM = "interim", gettext_noop("in between")
    DISCHARGE = "discharge", gettext_noop("at discharge")
    DIARY = "diary", gettext_noop("every day in the diary")


class CoreSet(Labelled):
    """What the core outcome set of 2022 says of a measure."""

    CORE = "core", gettext_noop("core")
    INTERIM = "interim", gettext_noop("interim")
    NOT_ADOPTED = "not_adopted", gettext_noop("not adopted")
    NOT_NAMED = "not_named", gettext_noop("–")


class ReadAs(Labelled):
    """What a change of the measure is."""

    DIFFERENCE = "difference", gettext_noop("the difference between two dates")
    ITSELF = "itself", gettext_noop("the rating itself: it is a change already")
    PERIOD = "period", gettext_noop("not compared: the periods differ in length")


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One outcome measure; several `known_errors` differ by protocol, and their rows say which fits."""

    key: str
    name: str
    unit: str
    low: float
    high: float | None
    better: Better
    answered_by: AnsweredBy
    due: tuple[Occasion, ...]
    core_set: CoreSet = CoreSet.NOT_NAMED
    read_as: ReadAs = ReadAs.DIFFERENCE
    known_errors: tuple[MeasurementError, ...] = ()
    important: tuple[ImportantChange, ...] = ()

    @property
    def errors(self) -> tuple[Figure, ...]:
        """The figures of `known_errors`; the first is the one that a change is judged by."""
        return tuple(row.figure for row in self.known_errors)

    def change(self, before: float, after: float) -> Change:
        """Return the change between two values in `unit`: by the first of `errors`, and each important one.

        Equal to the error is not beyond it. Raises ValueError as `compare`.
        """
        return compare(
            before,
            after,
            unit=self.unit,
            better=self.better,
            error=self.errors[0] if self.errors else None,
            important=self.important,
        )


ALWAYS = (Occasion.BASELINE, Occasion.INTERIM, Occasion.DISCHARGE)
LATER = (Occasion.INTERIM, Occasion.DISCHARGE)
DAILY = (Occasion.DIARY,)


def _pain(
    context: Context,
    name: str,
    due: tuple[Occasion, ...],
    core_set: CoreSet = CoreSet.NOT_NAMED,
) -> Measure:
    return Measure(
        key=f"pain_{context.value}",
        name=name,
        unit=pain.UNIT,
        low=pain.LOW,
        high=pain.HIGH,
        better=Better.DOWN,
        answered_by=AnsweredBy.PATIENT,
        due=due,
        core_set=core_set,
        known_errors=pain.ERRORS,
        important=pain.PAIN_IMPORTANT,
    )


def _questionnaire(
    key: str,
    name: str,
    high: float,
    core_set: CoreSet,
    known_errors: tuple[MeasurementError, ...],
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
        due=ALWAYS,
        core_set=core_set,
        known_errors=known_errors,
        important=important,
    )


def _grip(
    key: str,
    name: str,
    core_set: CoreSet,
    *,
    known_errors: tuple[MeasurementError, ...] = (),
    important: tuple[ImportantChange, ...] = (),
) -> Measure:
    low_n, high_n = (figure.value for figure in grip.PLAUSIBLE_N)
    return Measure(
        key=key,
        name=name,
        unit="N",
        low=low_n,
        high=high_n,
        better=Better.UP,
        answered_by=AnsweredBy.CLINICIAN,
        due=ALWAYS,
        core_set=core_set,
        known_errors=known_errors,
        important=important,
    )


_HILL_PEOPLE = gettext_noop("tennis elbow, n = 23")
_HILL_METHOD = gettext_noop("least detectable change at 95 %")
_APART = {True: gettext_noop("20–30 minutes apart"), False: gettext_noop("2–28 days apart")}
_GRIP_NAMES = {
    (grip.Position.STRAIGHT, 1): gettext_noop("elbow straight, first trial"),
    (grip.Position.STRAIGHT, 3): gettext_noop("elbow straight, mean of three"),
    (grip.Position.BENT, 1): gettext_noop("elbow at 90 degrees, first trial"),
    (grip.Position.BENT, 3): gettext_noop("elbow at 90 degrees, mean of three"),
}
# What the authors advise: one figure for both positions.
_GRIP_RULE = MeasurementError(
    name=gettext_noop("the authors' rule, mean of three"),
    figure=grip.AUTHORS_RULE_BETWEEN_VISITS,
    population=_HILL_PEOPLE,
    method=_HILL_METHOD,
    horizon=_APART[False],
)


def _grip_error(row: grip.GripError) -> MeasurementError:
    """Hill et al. (2023), one row of the table: by elbow, trials and the time between."""
    return MeasurementError(
        name=_GRIP_NAMES[row.position, row.trials],
        figure=row.figure,
        population=_HILL_PEOPLE,
        method=_HILL_METHOD,
        horizon=_APART[row.within_visit],
    )


MEASURES = (
    _pain(Context.AT_REST, gettext_noop("Pain at rest"), ALWAYS),
    _pain(Context.WORST_24H, gettext_noop("Worst pain in 24 h"), ALWAYS),
    _pain(Context.ON_GRIPPING, gettext_noop("Pain on gripping"), ALWAYS, CoreSet.INTERIM),
    _pain(Context.DURING_EXERCISE, gettext_noop("Pain during exercise"), DAILY),
    _pain(Context.NEXT_MORNING, gettext_noop("Pain next morning"), DAILY),
    _grip(
        "grip_pain_free",
        gettext_noop("Pain-free grip"),
        CoreSet.INTERIM,
        known_errors=(_GRIP_RULE, *(_grip_error(row) for row in grip.GRIP_ERRORS)),
        important=grip.GRIP_IMPORTANT,
    ),
    _grip("grip_maximal", gettext_noop("Maximal grip"), CoreSet.NOT_ADOPTED),
    Measure(
        key="grip_ratio",
        name=gettext_noop("Grip ratio, affected to other side"),
        unit="",
        low=0,
        high=None,
        better=Better.UP,
        answered_by=AnsweredBy.CLINICIAN,
        due=ALWAYS,
    ),
    _questionnaire(
        "prtee",
        gettext_noop("PRTEE questionnaire, total"),
        100,
        CoreSet.CORE,
        tennis_elbow.TOTAL_ERRORS,
        tennis_elbow.TOTAL_IMPORTANT,
    ),
    _questionnaire(
        "prtee_pain",
        gettext_noop("PRTEE questionnaire, pain"),
        50,
        CoreSet.INTERIM,
        (),
        tennis_elbow.PAIN_IMPORTANT,
    ),
    _questionnaire(
        "prtee_function",
        gettext_noop("PRTEE questionnaire, function"),
        50,
        CoreSet.INTERIM,
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
        due=ALWAYS,
        known_errors=activities.ERRORS,
        important=activities.IMPORTANT,
    ),
    Measure(
        key="global_rating",
        name=gettext_noop("Global rating of change"),
        unit=global_rating.UNIT,
        low=global_rating.LOW,
        high=global_rating.HIGH,
        better=Better.UP,
        answered_by=AnsweredBy.PATIENT,
        due=LATER,
        core_set=CoreSet.NOT_ADOPTED,
        read_as=ReadAs.ITSELF,
        known_errors=global_rating.ERRORS,
        important=global_rating.IMPORTANT,
    ),
    Measure(
        key="time_off_work",
        name=gettext_noop("Time off work"),
        unit=gettext_noop("days"),
        low=0,
        high=None,
        better=Better.DOWN,
        answered_by=AnsweredBy.PATIENT,
        due=ALWAYS,
        core_set=CoreSet.INTERIM,
        read_as=ReadAs.PERIOD,
    ),
)

BY_KEY = {measure.key: measure for measure in MEASURES}
FORCES = ("grip_pain_free", "grip_maximal")

ONE_ACTIVITY = "one_activity"


def one_activity(name: str) -> Measure:
    """Return the row of a single activity, named in the patient's own words."""
    judged_by = next(
        row for row in activities.ERRORS if row.figure is activities.ONE_ACTIVITY_ERROR
    )
    return replace(
        BY_KEY["activities"], key=ONE_ACTIVITY, name=name, known_errors=(judged_by,), important=()
    )
