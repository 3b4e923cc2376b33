"""The grip trials of the measures form, in the tables in which a page shows them."""

from dataclasses import dataclass
from functools import cached_property

from django.forms import BoundField

from assessments.clinical.force import Unit
from assessments.clinical.grip import SPREAD_LIMIT, mean_n
from assessments.clinical.grip_questions import SWAPPED, UNIT_TOLERANCE, Question
from assessments.clinical.protocol import (
    LETTERS,
    LOW_GRIP,
    MAXIMAL_BENT,
    PAIN_FREE_STRAIGHT,
    REST,
    SHORT,
    WAYS,
    Squeeze,
    Struck,
    Way,
)
from assessments.clinical.trials import cells_shown, one_more
from assessments.forms import MeasuresForm
from assessments.forms.grip import NUMBERS, reading_name, side_name, struck_name, token
from assessments.results import Results
from cases.clinical.sides import Side
from clinic.wording import Sentence, say


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One trial: what the dial showed, and whether it counts."""

    reading: BoundField
    why: BoundField

    @property
    def struck(self) -> Struck | None:
        return next((why for why in Struck if why == self.why.value()), None)

    @property
    def is_filled(self) -> bool:
        return self.reading.value() not in (None, "")


@dataclass(frozen=True, kw_only=True)
class SideRow:
    """The trials of one side; what is on record decides how many are offered and what is asked for."""

    slug: str
    name: str
    cells: tuple[Cell, ...]
    squeezes: dict[int, Squeeze]
    forces_n: tuple[float, ...]

    @property
    def mean_n(self) -> float | None:
        return mean_n(self.forces_n) if self.forces_n else None

    @property
    def cells_shown(self) -> int:
        return cells_shown(self.squeezes)

    @property
    def asks(self) -> Sentence | None:
        return one_more(self.squeezes)

    @property
    def filled(self) -> tuple[Cell, ...]:
        return tuple(cell for cell in self.cells if cell.is_filled)


@dataclass(frozen=True, kw_only=True)
class WayRows:
    """One way of squeezing on both sides; `due` says whether the page opens with it unfolded."""

    way: Way
    sides: tuple[SideRow, ...]
    questions: tuple[tuple[Question, BoundField], ...]
    due: bool

    @property
    def fields(self) -> tuple[BoundField, ...]:
        cells = [cell for side in self.sides for cell in side.cells]
        return tuple(field for cell in cells for field in (cell.reading, cell.why))

    @property
    def folds(self) -> bool:
        return self.way is not PAIN_FREE_STRAIGHT

    @property
    def is_open(self) -> bool:
        filled = any(cell.is_filled for side in self.sides for cell in side.cells)
        return self.due or filled or any(field.errors for field in self.fields)


@dataclass(frozen=True, kw_only=True)
class GripSheet:
    """The grip part of a form with what is on record, laid out for the page."""

    form: MeasuresForm
    results: Results

    reasons = tuple((why.value, SHORT[why], LETTERS[why]) for why in Struck)
    rests = tuple(REST.values())
    settings = (
        (SPREAD_LIMIT, say("Trials more than %(limit)s %% apart", limit=int(SPREAD_LIMIT.value))),
        (LOW_GRIP, say("Below %(limit)s N: asked about", limit=int(LOW_GRIP.value))),
        (SWAPPED, say("Affected side over %(limit)s times the other", limit=SWAPPED.value)),
        (
            UNIT_TOLERANCE,
            say("Within %(share)s %% of the factor of two units", share=int(UNIT_TOLERANCE.value)),
        ),
    )

    @property
    def rest_s(self) -> int:
        return self.form.visit.clinic.grip_rest_s

    @property
    def unit_shown(self) -> str:
        return Unit(self.form["unit"].value()).shown

    @cached_property
    def ways(self) -> tuple[WayRows, ...]:
        affected = self.form.affected
        return tuple(
            WayRows(
                way=way,
                sides=tuple(self._side(way, side) for side in (affected.other, affected)),
                questions=tuple(self._asked(way)),
                due=self._is_due(way),
            )
            for way in WAYS
        )

    def _side(self, way: Way, side: Side) -> SideRow:
        spots = [(way, side, number) for number in NUMBERS]
        return SideRow(
            slug=f"{way.slug}-{side.value}",
            name=side_name(side, affected=self.form.affected),
            cells=tuple(
                Cell(reading=self.form[reading_name(*spot)], why=self.form[struck_name(*spot)])
                for spot in spots
            ),
            squeezes=self.form.grip.squeezes_on_record(self.form.on_record, way, side),
            forces_n=self.results.today.forces_n.get((way, side), ()),
        )

    def _is_due(self, way: Way) -> bool:
        """The maximum once, at the start; the rest as it was measured before."""
        earlier = any(visit.trials_n(way) for visit in self.results.course.visits[:-1])
        return not earlier if way is MAXIMAL_BENT else earlier

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What is asked about the readings on the page, answered or not."""
        if not self.form.is_bound:
            return self.form.grip.questions(self.form.initial)
        self.form.is_valid()  # a bound form has its values only after it was looked through
        return self.form.grip.questions(self.form.cleaned_data)

    def _asked(self, way: Way):
        for question in self.questions:
            first = question.readings[0]
            if first.way is way:
                yield question, self.form[reading_name(first.way, first.side, first.number)]

    @property
    def tokens(self) -> str:
        return " ".join(map(token, self.questions))

    @property
    def is_answered(self) -> bool:
        answered = str(self.form["right"].value() or "").split()
        return all(token(question) in answered for question in self.questions)
