"""The whole course of a case, measure by measure: what its page and its sheet both show."""

import datetime
from dataclasses import dataclass, replace
from functools import cached_property

from assessments.chart_words import change_of, figures_of, value_of
from assessments.charting import OVERVIEW, Around, chart_of, newest, overview_of
from assessments.charts import Chart, Overview
from assessments.clinical.force import Unit
from assessments.clinical.summary import in_plain_words, one_value
from assessments.course import VALUES, Course
from assessments.lines import Line, Note, notes_of
from assessments.results import Reached, reached
from assessments.templatetags.assessment_tags import PLACES
from cases.models import Case
from clinic.evidence import Figure
from clinic.wording import Sentence
from rehab.around import around
from rehab.clinical.thresholds import NO_SOURCE
from rehab.inputs import Records
from rehab.models import Program


@dataclass(frozen=True, kw_only=True)
class Part:
    """One measure: its chart, its change, the published figures by name, and where they come from.

    A source stands in the notes of the first part that uses it; `mark` leads to that of the error.
    `told` says the change in the patient's words.
    """

    line: Line
    chart: Chart
    reached: tuple[Reached, ...]
    mark: str
    notes: tuple[Note, ...]
    told: tuple[Sentence, ...]

    @property
    def key(self) -> str:
        return self.line.measure.key

    @property
    def figures(self) -> str:
        return figures_of(self.line)

    @property
    def newest(self) -> str:
        return value_of(self.line.today.value, self.line)

    @property
    def start(self) -> str:
        """The first value, where the newest one is compared with it."""
        first = self.line.start if self.line.since_start else None
        return value_of(first.value, self.line) if first else ""

    @property
    def change(self) -> str:
        return change_of(self.line)

    @property
    def measures(self) -> tuple[tuple[Line, tuple[Reached, ...]], ...]:
        """As the table of important changes takes it."""
        return ((self.line, self.reached),)

    @property
    def gates(self) -> tuple[Figure, ...]:
        """The sources of the targets; what has none says so by its status alone."""
        found = (target.figure for target in self.chart.targets if target.figure)
        return tuple(
            replace(figure, source="") if figure.source == NO_SOURCE else figure for figure in found
        )


@dataclass(frozen=True)
class WholeCourse:
    """Every measure of a case as of its newest value, with what went on around it."""

    course: Course
    around: Around
    unit: Unit

    @classmethod
    def of_case(
        cls,
        case: Case,
        course: Course,
        *,
        records: Records | None = None,
        programs: list[Program] | None = None,
    ) -> "WholeCourse":
        """`programs` are the issued ones, where they are at hand."""
        if programs is None:
            programs = list(Program.objects.of_case(case).issued())
        records = records or Records(case)
        return cls(
            course=course,
            around=around(records, course, programs),
            unit=Unit(case.clinic.grip_unit),
        )

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The measures of the overview first, then the others in the order of the ledger."""
        keys = (*OVERVIEW, *(key for key in VALUES if key not in OVERVIEW))
        lines = (self.course.line(key) for key in keys)
        return tuple(newest(line) for line in lines if line.points)

    @cached_property
    def overview(self) -> Overview | None:
        return overview_of(self.course, self.around)

    @cached_property
    def error_notes(self) -> tuple[Note, ...]:
        return notes_of(self.lines)

    @cached_property
    def important_notes(self) -> tuple[Note, ...]:
        return notes_of(self.lines, important=True, after=len(self.error_notes))

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        shown: set[str] = set()
        return tuple(self._part(line, shown) for line in self.lines)

    def _part(self, line: Line, shown: set[str]) -> Part:
        error = next((note for note in self.error_notes if line.error in note.figures), None)
        met = tuple(reached(line, self.important_notes))
        used = dict.fromkeys((error,) if error else ()) | dict.fromkeys(row.note for row in met)
        notes = tuple(note for note in used if note.mark not in shown)
        shown.update(note.mark for note in notes)
        return Part(
            line=line,
            chart=chart_of(self.course, line.measure.key, around=self.around, alone=False),
            reached=met,
            mark=error.mark if error else "",
            notes=notes,
            told=self._told(line),
        )

    def _told(self, line: Line) -> tuple[Sentence, ...]:
        key, change = line.measure.key, line.since_start
        if change is None:
            return one_value(key, line.today.value, unit=self.unit)
        return in_plain_words(key, change, unit=self.unit)

    @property
    def last_day(self) -> datetime.date | None:
        """The newest day that has a value."""
        return max((line.today.on for line in self.lines), default=None)

    @cached_property
    def rows(self) -> tuple[tuple[datetime.date, tuple[tuple[float | None, int | None], ...]], ...]:
        """All values for a table: the day, and a value with its decimals for each of the parts."""
        found = [{point.on: point.value for point in line.points} for line in self.lines]
        days = sorted({day for values in found for day in values})
        places = [PLACES.get(line.measure.key) for line in self.lines]
        return tuple(
            (day, tuple((values.get(day), n) for values, n in zip(found, places, strict=True)))
            for day in days
        )
