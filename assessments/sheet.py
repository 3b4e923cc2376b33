"""The fields of the measures form, in the rows in which a page shows them."""

from dataclasses import dataclass
from functools import cached_property

from django.forms import BoundField
from django.utils.translation import gettext_lazy

from assessments.clinical.grip import SPREAD_LIMIT, Unit, mean_n, scattered
from assessments.clinical.pain import Context
from assessments.clinical.protocol import LOW_GRIP, WAYS, Way
from assessments.clinical.questionnaires import tennis_elbow
from assessments.forms import MeasuresForm
from assessments.forms.grip import TRIALS, reading_name, side_name
from assessments.forms.pain import pain_name
from assessments.results import Results
from cases.clinical.sides import Side
from clinic.wording import say

# Our own short names for the three parts of the form; the wording of its items is not ours.
ITEM_ROWS = (
    (gettext_lazy("Pain"), tennis_elbow.PAIN),
    (gettext_lazy("Specific activities"), tennis_elbow.SPECIFIC),
    (gettext_lazy("Usual activities"), tennis_elbow.USUAL),
)


@dataclass(frozen=True, kw_only=True)
class SideRow:
    """The trials of one side, with their mean as it is on record."""

    slug: str
    name: str
    fields: tuple[BoundField, ...]
    mean_n: float | None
    again: bool


@dataclass(frozen=True, kw_only=True)
class WayRows:
    way: Way
    sides: tuple[SideRow, ...]


@dataclass(frozen=True, kw_only=True)
class ItemRow:
    name: str
    first: int
    last: int
    fields: tuple[tuple[int, BoundField], ...]

    @property
    def spare(self) -> int:
        """Columns that this row leaves empty."""
        return len(tennis_elbow.SPECIFIC) - len(self.fields)


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A form and what is on record, laid out for the page."""

    form: MeasuresForm
    results: Results

    spread_limit = SPREAD_LIMIT
    spread_title = say("Trials more than %(limit)s %% apart", limit=int(SPREAD_LIMIT.value))
    low_grip = LOW_GRIP
    low_title = say("Below %(limit)s N: asked about", limit=int(LOW_GRIP.value))
    missing_pain = tennis_elbow.MAX_MISSING_PAIN
    missing_pain_title = say("Pain items left out: at most %(most)s", most=int(missing_pain.value))
    missing_function = tennis_elbow.MAX_MISSING_FUNCTION
    missing_function_title = say(
        "Function items left out: at most %(most)s", most=int(missing_function.value)
    )
    instrument = tennis_elbow.INSTRUMENT

    @property
    def unit_shown(self) -> str:
        return Unit(self.form["unit"].value()).shown

    @cached_property
    def pains(self) -> tuple[BoundField, ...]:
        return tuple(self.form[pain_name(context)] for context in Context)

    @cached_property
    def ways(self) -> tuple[WayRows, ...]:
        affected = self.form.affected
        sides = (affected.other, affected)
        return tuple(
            WayRows(way=way, sides=tuple(self._side_row(way, side) for side in sides))
            for way in WAYS
        )

    def _side_row(self, way: Way, side: Side) -> SideRow:
        trials_n = self.results.today.forces_n.get((way, side), ())
        return SideRow(
            slug=f"{way.slug}-{side.value}",
            name=side_name(side, affected=self.form.affected),
            fields=tuple(self.form[reading_name(way, side, number)] for number in TRIALS),
            mean_n=mean_n(trials_n) if trials_n else None,
            again=bool(trials_n) and scattered(trials_n),
        )

    @property
    def readings(self) -> tuple[BoundField, ...]:
        return tuple(field for rows in self.ways for side in rows.sides for field in side.fields)

    @cached_property
    def items(self) -> tuple[ItemRow, ...]:
        return tuple(
            ItemRow(
                name=name,
                first=numbers[0],
                last=numbers[-1],
                fields=tuple((number, self.form[f"item_{number}"]) for number in numbers),
            )
            for name, numbers in ITEM_ROWS
        )

    @property
    def item_fields(self) -> tuple[BoundField, ...]:
        return tuple(field for row in self.items for _number, field in row.fields)
