"""What was measured over a whole case: every measure at the start, the last time and today."""

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import Prefetch

from assessments.clinical import activities, grip
from assessments.clinical.measures import BY_KEY, Measure, one_activity
from assessments.clinical.pain import Context
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT, Squeeze, Way
from assessments.clinical.questionnaires import tennis_elbow
from assessments.clinical.questionnaires.instrument import NotScorable
from assessments.lines import Line, Moments, Note, Point, moments, notes_of
from assessments.models import ActivityRating
from assessments.models.own import SINGLE, single_numbers, visits_in_order
from cases.clinical.sides import Handedness, Side
from cases.models import Case, Visit
from cases.models.visit import VisitQuerySet

Forces = Mapping[tuple[Way, Side], tuple[float, ...]]


@dataclass(frozen=True, kw_only=True)
class Measured:
    """What was measured at one visit; forces in newtons, activities by their key.

    `forces_n` are the trials that count; `squeezes` have those that were struck out as well.
    """

    visit: int
    on: datetime.date
    affected: Side
    pains: Mapping[Context, int] = field(default_factory=dict)
    forces_n: Forces = field(default_factory=dict)
    squeezes: Mapping[tuple[Way, Side], tuple[Squeeze, ...]] = field(default_factory=dict)
    answers: Mapping[int, int | None] = field(default_factory=dict)
    activities: Mapping[int, int] = field(default_factory=dict)
    single: Mapping[str, int] = field(default_factory=dict)

    @property
    def anything(self) -> bool:
        several = (self.pains, self.forces_n, self.squeezes, self.answers, self.activities)
        return any(several) or bool(self.single)

    @property
    def mean_activity(self) -> float | None:
        ratings = tuple(self.activities.values())
        return activities.mean_rating(ratings) if ratings else None

    @cached_property
    def score(self) -> tennis_elbow.TennisElbowScore | None:
        try:
            return tennis_elbow.score(self.answers)
        except NotScorable:
            return None

    def trials_n(self, way: Way, *, affected: bool = True) -> tuple[float, ...]:
        return self.forces_n.get((way, self.affected if affected else self.affected.other), ())

    def mean_n(self, way: Way, *, affected: bool = True) -> float | None:
        trials_n = self.trials_n(way, affected=affected)
        return grip.mean_n(trials_n) if trials_n else None

    def ratio(self, way: Way) -> float | None:
        mine, other = self.mean_n(way), self.mean_n(way, affected=False)
        return None if mine is None or not other else grip.ratio(mine, other)


def _score_part(part: str) -> Callable[[Measured], float | None]:
    return lambda at: getattr(at.score, part, None)


def _pain(context: Context) -> Callable[[Measured], float | None]:
    return lambda at: at.pains.get(context)


def _single(name: str) -> Callable[[Measured], int | None]:
    return lambda at: at.single.get(name)


# What a visit holds of each measure of the register, in the order of the ledger.
VALUES: dict[str, Callable[[Measured], float | None]] = {
    **{f"pain_{context.value}": _pain(context) for context in Context},
    "grip_pain_free": lambda at: at.mean_n(PAIN_FREE_STRAIGHT),
    "grip_ratio": lambda at: at.ratio(PAIN_FREE_STRAIGHT),
    "grip_maximal": lambda at: at.mean_n(MAXIMAL_BENT),
    "prtee": _score_part("total"),
    "prtee_pain": _score_part("pain"),
    "prtee_function": _score_part("function"),
    "activities": lambda at: at.mean_activity,
    **{name: _single(name) for name in SINGLE},
}


@dataclass(frozen=True, kw_only=True)
class GripCourse:
    """Pain-free grip with a straight elbow: means in newtons, and affected ÷ other side."""

    affected_n: Moments
    other_n: Moments
    ratio: Moments


@dataclass(frozen=True, kw_only=True)
class Course:
    """All visits of a case up to today's, in their order; the last one is today's."""

    affected: Side
    handedness: Handedness
    visits: tuple[Measured, ...]
    activity_names: Mapping[int, str] = field(default_factory=dict)

    @property
    def today(self) -> Measured | None:
        return self.visits[-1] if self.visits else None

    @cached_property
    def last(self) -> Measured | None:
        """The last visit before today's at which anything was measured."""
        return next((visit for visit in reversed(self.visits[:-1]) if visit.anything), None)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The measures that were taken at least once, in the order of the ledger."""
        return tuple(line for key in VALUES if (line := self.line(key)).points)

    @property
    def activity_lines(self) -> tuple[Line, ...]:
        """Each activity that was rated, by itself and in the patient's words."""
        return tuple(
            self._line(one_activity(name), lambda at, key=key: at.activities.get(key))
            for key, name in self.activity_names.items()
        )

    def line(self, key: str) -> Line:
        if key not in self._drawn:
            self._drawn[key] = self._line(BY_KEY[key], VALUES[key])
        return self._drawn[key]

    @cached_property
    def _drawn(self) -> dict[str, Line]:
        # Each part of a page asks for the same few.
        return {}

    def moments(self, key: str) -> Moments:
        """Start, last and today of one measure of the register."""
        return moments(self.line(key))

    @cached_property
    def notes(self) -> tuple[Note, ...]:
        """The sources of the errors that the ledger names, marked a, b, c."""
        return notes_of(self.lines)

    @cached_property
    def notes_so_far(self) -> tuple[Note, ...]:
        """The same for a ledger that goes on to the newest value of each measure."""
        return notes_of(line.at_newest for line in self.lines)

    @property
    def rows(self) -> tuple[tuple[Line, Line, Note | None], ...]:
        """Each line, what its change is read from, and the note of the measurement error."""
        return tuple((line, line, _note_of(line, self.notes)) for line in self.lines)

    @property
    def rows_so_far(self) -> tuple[tuple[Line, Line, Note | None], ...]:
        """The same with changes up to the newest value, while today's visit may still be measured."""
        read = ((line, line.at_newest) for line in self.lines)
        return tuple((line, newest, _note_of(newest, self.notes_so_far)) for line, newest in read)

    @property
    def grip(self) -> GripCourse:
        measure = BY_KEY["grip_pain_free"]
        other = self._line(measure, lambda at: at.mean_n(PAIN_FREE_STRAIGHT, affected=False))
        return GripCourse(
            affected_n=self.moments("grip_pain_free"),
            other_n=moments(other),
            ratio=self.moments("grip_ratio"),
        )

    def _line(self, measure: Measure, value: Callable[[Measured], float | None]) -> Line:
        found = [(at, value(at)) for at in self.visits]
        points = tuple(_point(measure, at, here) for at, here in found if here is not None)
        measured_today = bool(found) and found[-1][1] is not None
        return Line(measure=measure, points=points, today=points[-1] if measured_today else None)


def _note_of(line: Line, notes: tuple[Note, ...]) -> Note | None:
    return next((note for note in notes if line.error in note.figures), None)


def _point(measure: Measure, at: Measured, value: float) -> Point:
    # The error of a mean of three is not that of a single squeeze.
    trials = len(at.trials_n(PAIN_FREE_STRAIGHT)) if measure.key == "grip_pain_free" else 1
    ratings = at.activities if measure.key == "activities" else {}
    return Point(on=at.on, value=value, trials=trials or 1, ratings=ratings)


def measured_visits(case: Case) -> list[Visit]:
    """Return the visits of a case in their order, each with who saw the patient and all that was measured.

    Six queries, however many visits there are.
    """
    return list(_with_measures(visits_in_order(case)).select_related("practitioner"))


def course_of_pain(case: Case, *, questionnaire: bool = False) -> Course:
    """Return a course of the pain ratings alone, or with the `questionnaire`: two queries, or three."""
    visits = visits_in_order(case).prefetch_related("pain_ratings")
    if questionnaire:
        visits = visits.prefetch_related("questionnaires")
    measured = (
        Measured(
            visit=at.pk,
            on=at.on,
            affected=case.affected,
            pains=_pains(at),
            answers=_answers(at) if questionnaire else {},
        )
        for at in visits
    )
    return _course(case, tuple(measured))


def course_of(
    case: Case, *, visit: Visit | None = None, visits: list[Visit] | None = None
) -> Course:
    """Return what was measured at the visits of a case, up to `visit` or to its newest one.

    `visits` are its `measured_visits`, where they are at hand.
    """
    visits = _up_to(visit, measured_visits(case) if visits is None else visits)
    rated = [rating for at in visits for rating in at.activity_ratings.all()]
    rated.sort(key=lambda rating: rating.activity.position)
    names = {rating.activity_id: rating.activity.name for rating in rated}
    return _course(case, _measured(case, visits), activity_names=names)


def _course(case: Case, visits: tuple[Measured, ...], **more: object) -> Course:
    handedness = Handedness(case.patient.handedness)
    return Course(affected=case.affected, handedness=handedness, visits=visits, **more)


def values_of(visit: Visit) -> dict[str, float]:
    """Return what one visit measured, by the measure's key in the register."""
    # Read again: the visit at hand may remember a single number from before it was typed.
    fresh = _with_measures(visits_in_order(visit.case)).get(pk=visit.pk)
    (at,) = _measured(visit.case, [fresh])
    found = {key: value(at) for key, value in VALUES.items()}
    return {key: value for key, value in found.items() if value is not None}


def _with_measures(visits: VisitQuerySet) -> VisitQuerySet:
    return visits.prefetch_related(
        "pain_ratings",
        "grip_tests__trials",
        "questionnaires",
        Prefetch("activity_ratings", ActivityRating.objects.named()),
    )


def _measured(case: Case, visits: Iterable[Visit]) -> tuple[Measured, ...]:
    return tuple(
        Measured(
            visit=at.pk,
            on=at.on,
            affected=case.affected,
            pains=_pains(at),
            forces_n=_forces_n(at.grip_tests.all()),
            squeezes=_squeezes(at.grip_tests.all()),
            answers=_answers(at),
            activities={rating.activity_id: rating.value for rating in at.activity_ratings.all()},
            single=single_numbers(at),
        )
        for at in visits
    )


def _pains(visit: Visit) -> dict[Context, int]:
    return {Context(rating.context): rating.value for rating in visit.pain_ratings.all()}


def _answers(visit: Visit) -> dict[int, int | None]:
    return next((form.answers() for form in visit.questionnaires.all()), {})


def _up_to(visit: Visit | None, visits: list[Visit]) -> list[Visit]:
    return [at for at in visits if visit is None or (at.on, at.pk) <= (visit.on, visit.pk)]


def _forces_n(tests) -> dict[tuple[Way, Side], tuple[float, ...]]:
    found = {(test.way, test.measured_side): test.forces_n() for test in tests if test.way}
    return {key: trials_n for key, trials_n in found.items() if trials_n}


def _squeezes(tests) -> dict[tuple[Way, Side], tuple[Squeeze, ...]]:
    return {(test.way, test.measured_side): test.squeezes() for test in tests if test.way}
