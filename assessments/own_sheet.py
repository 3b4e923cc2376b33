"""The patient's own numbers, in the rows in which a page shows them."""

from dataclasses import dataclass

from django.forms import BoundField

from assessments.clinical.global_rating import HIGH, LOW
from assessments.forms import MeasuresForm
from assessments.forms.own import activity_name
from assessments.models.own import SINGLE

# On the eleven keys of a rating from −5 to 5.
CHANGE_KEYS = tuple(range(LOW, HIGH + 1))


@dataclass(frozen=True)
class OwnRows:
    """Activities, change and days off work of one visit."""

    form: MeasuresForm

    @property
    def activities(self) -> tuple[BoundField, ...]:
        return tuple(self.form[activity_name(one.pk)] for one in self.form.own.activities)

    @property
    def change(self) -> BoundField | None:
        """The global rating, which a first visit has not."""
        return self.form["global_rating"] if self.form.own.asks_for_change else None

    @property
    def change_keys(self) -> list[tuple[int, bool]]:
        """Each value from −5 to 5, and whether it is the one chosen."""
        chosen = str(self.change.value())
        return [(value, str(value) == chosen) for value in CHANGE_KEYS]

    @property
    def days_off(self) -> BoundField:
        return self.form["time_off_work"]

    @property
    def numbers(self) -> tuple[BoundField, ...]:
        """What else is one number a visit, but the change."""
        asked = (name for name in SINGLE if name in self.form.fields)
        return tuple(self.form[name] for name in asked if name != "global_rating")

    @property
    def in_words(self) -> tuple[BoundField, ...]:
        """The fields whose mistakes are told under them, renewed by each save."""
        return (self.days_off,)
