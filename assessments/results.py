"""What today's measures say, for a page: each comparison by itself and never one verdict."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from assessments.clinical.grip import GripResult, summarize
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT, WAYS, Way
from assessments.clinical.questionnaires import tennis_elbow
from assessments.clinical.questionnaires.instrument import NotScorable
from assessments.course import Course, Measured
from assessments.lines import Line, Moments, Note, notes_of
from clinic.evidence import Figure
from clinic.wording import Sentence

# Bateman et al. 2022 Br J Sports Med 56(12):657–66: the measures that every tennis elbow study should report.
CORE = ("pain_on_gripping", "grip_pain_free", "prtee")


@dataclass(frozen=True, kw_only=True)
class Reached:
    """One published important change of one measure: reached since the last time, since the start."""

    name: str
    figure: Figure
    note: Note
    since_last: bool | None
    since_start: bool | None


@dataclass(frozen=True)
class Results:
    """A course, read for the page of its newest visit."""

    course: Course

    @property
    def today(self) -> Measured:
        return self.course.today

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        return self.course.lines

    def grip(self, way: Way) -> GripResult | None:
        """Both sides today; None unless the affected side was tested."""
        mine = self.today.trials_n(way)
        return mine and summarize(
            mine,
            self.today.trials_n(way, affected=False),
            affected_side=self.course.affected,
            handedness=self.course.handedness,
            position=way.position,
            effort=way.effort,
        )

    @property
    def grips(self) -> tuple[tuple[Way, GripResult], ...]:
        found = ((way, self.grip(way)) for way in WAYS)
        return tuple((way, result) for way, result in found if result)

    @property
    def pain_free(self) -> GripResult | None:
        return self.grip(PAIN_FREE_STRAIGHT)

    @property
    def pain_on_gripping(self) -> Moments:
        return self.course.moments("pain_on_gripping")

    @property
    def errors_within(self) -> tuple[Figure, ...]:
        """The published errors that today's differences between the sides are set against."""
        found = [result.error for _way, result in self.grips if result.error]
        return tuple(dict.fromkeys(found))

    @property
    def score(self) -> tennis_elbow.TennisElbowScore | None:
        return self.today.score

    @property
    def not_scorable(self) -> Sentence | None:
        """Why a questionnaire that was begun has no score yet."""
        if not self.today.answers:
            return None
        try:
            tennis_elbow.score(self.today.answers)
        except NotScorable as missing:
            return missing.reason
        return None

    @cached_property
    def important_notes(self) -> tuple[Note, ...]:
        return notes_of(self.lines, important=True, after=len(self.course.notes))

    @cached_property
    def important(self) -> tuple[tuple[Line, tuple[Reached, ...]], ...]:
        """Each measure that changed, against every published figure by name."""
        lines = (line for line in self.lines if line.since_start and line.since_start.important)
        return tuple((line, tuple(reached(line, self.important_notes))) for line in lines)

    @property
    def important_core(self):
        return tuple(row for row in self.important if row[0].measure.key in CORE)

    @property
    def important_rest(self):
        return tuple(row for row in self.important if row[0].measure.key not in CORE)


def reached(line: Line, notes: Iterable[Note]) -> Iterator[Reached]:
    """Each published important change of a line, with the note of its source."""
    since_last = line.since_last.important if line.since_last else ()
    met_last = {row.figure: row.met for row in since_last}
    for row in line.since_start.important if line.since_start else ():
        yield Reached(
            name=row.name,
            figure=row.figure,
            note=next(note for note in notes if row.figure in note.figures),
            since_last=met_last.get(row.figure),
            since_start=row.met,
        )
