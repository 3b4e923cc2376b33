"""The fields of the measures form, in the rows in which a page shows them."""

from dataclasses import dataclass
from functools import cached_property

from django.forms import BoundField
from django.utils.translation import gettext_lazy

from assessments.clinical.pain import Context
from assessments.clinical.questionnaires import tennis_elbow
from assessments.forms import MeasuresForm
from assessments.forms.pain import pain_name
from assessments.forms.questionnaire import item_name
from assessments.grip_sheet import GripSheet
from assessments.own_sheet import OwnRows
from assessments.results import Results
from clinic.wording import say

# Our own short names for the three parts of the form; the wording of its items is not ours.
ITEM_ROWS = (
    (gettext_lazy("Pain"), tennis_elbow.PAIN),
    (gettext_lazy("Specific activities"), tennis_elbow.SPECIFIC),
    (gettext_lazy("Usual activities"), tennis_elbow.USUAL),
)


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

    missing_pain = tennis_elbow.MAX_MISSING_PAIN
    missing_pain_title = say("Pain items left out: at most %(most)s", most=int(missing_pain.value))
    missing_function = tennis_elbow.MAX_MISSING_FUNCTION
    missing_function_title = say(
        "Function items left out: at most %(most)s", most=int(missing_function.value)
    )
    form_name, form_notice = tennis_elbow.NAME, tennis_elbow.NOTICE

    @cached_property
    def grip(self) -> GripSheet:
        return GripSheet(form=self.form, results=self.results)

    @cached_property
    def own(self) -> OwnRows:
        return OwnRows(self.form)

    @cached_property
    def pains(self) -> tuple[BoundField, ...]:
        return tuple(self.form[pain_name(context)] for context in Context)

    @cached_property
    def items(self) -> tuple[ItemRow, ...]:
        return tuple(
            ItemRow(
                name=name,
                first=numbers[0],
                last=numbers[-1],
                fields=tuple((number, self.form[item_name(number)]) for number in numbers),
            )
            for name, numbers in ITEM_ROWS
        )

    @property
    def item_fields(self) -> tuple[BoundField, ...]:
        return tuple(field for row in self.items for _number, field in row.fields)
