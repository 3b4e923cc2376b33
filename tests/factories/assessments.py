"""Pain, grip and questionnaires, for tests."""

from assessments.clinical.force import Unit
from assessments.clinical.pain import Context
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT, Squeeze, Way
from assessments.models import (
    ActivityRating,
    GlobalRating,
    GripTest,
    MeasuredValue,
    PainRating,
    QuestionnaireResponse,
    TimeOffWork,
)
from cases.clinical.sides import Side
from cases.models import Activity, Case, Visit

# Total 49: pain 23, function 26.
COMPLETE = (3, 6, 5, 1, 8, 4, 6, 5, 7, 3, 6, 2, 5, 6, 8)


def create_pain(*, visit: Visit, **ratings: int) -> None:
    """Ratings by context: `create_pain(visit=visit, on_gripping=5)`."""
    PainRating.objects.write(visit, {Context(name): value for name, value in ratings.items()})


def create_grip(
    *,
    visit: Visit,
    trials_n: tuple[float, ...] = (118, 126, 121),
    side: Side | None = None,
    way: Way = PAIN_FREE_STRAIGHT,
    unit: Unit = Unit.N,
) -> None:
    """Trials in newtons; of the affected side, pain-free and straight, unless told otherwise."""
    numbered = {n: Squeeze(force_n=force_n) for n, force_n in enumerate(trials_n, start=1)}
    key = (way, side or visit.case.affected)
    GripTest.objects.write(visit, unit=unit, trials={key: numbered})


def create_questionnaire(*, visit: Visit, items: tuple[int | None, ...] = COMPLETE) -> None:
    QuestionnaireResponse.objects.write(visit, dict(enumerate(items, start=1)))


def create_activities(*names: str, case: Case) -> None:
    """The activities that the patient named, in their order."""
    Activity.objects.keep(case, list(names))


def create_activity_ratings(*, visit: Visit, ratings: tuple[int | None, ...]) -> None:
    """One rating for each of the case's activities, in their order; None leaves one out."""
    pks = visit.case.activities.values_list("pk", flat=True)
    ActivityRating.objects.write(visit, dict(zip(pks, ratings, strict=True)))


def create_own(
    *, visit: Visit, global_rating: int | None = None, time_off_work: int | None = None
) -> None:
    """What is one number a visit; None leaves it out."""
    GlobalRating.objects.write(visit, global_rating)
    TimeOffWork.objects.write(visit, time_off_work)


def create_measured(*, visit: Visit, **values: float) -> None:
    """Values by the measure's key: `create_measured(visit=visit, prtee=49)`."""
    MeasuredValue.objects.write(visit, values)
