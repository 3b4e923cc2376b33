"""The diary page typed in: one row a day, in the order in which the paper has its columns."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.utils import formats, timezone
from django.utils.translation import gettext_lazy as _

from clinic.forms import Stamped
from rehab.forms.numbers import count
from rehab.models import DiaryDay, Program

MOST_DAYS = 42  # six weeks, the longest diary page


def columns() -> dict[str, forms.Field]:
    """The cells of one row, in the order of the paper."""
    pain, load = _("Pain is a whole number from 0 to 10."), _("Enter a load from 0.1 to 50 kg.")
    return {
        "sets_done": count(_("sets done"), 20, _("Enter 0 to 20 sets.")),
        "last_set_repetitions": count(_("repetitions in the last set"), 100, _("Enter 0 to 100.")),
        "load_kg": forms.FloatField(
            label=_("load, kg"),
            min_value=0.1,
            max_value=50,
            required=False,
            error_messages={"invalid": load, "min_value": load, "max_value": load},
            widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        ),
        "worst_pain": count(_("worst pain during"), 10, pain),
        "next_morning_pain": count(_("pain next morning"), 10, pain),
        "night_wakings": count(_("woken at night"), 20, _("Enter how often, 0 to 20.")),
        "sharp_or_locking": forms.BooleanField(label=_("sharp pain or locking"), required=False),
    }


COLUMNS = tuple(columns())
HEADS = (
    _("Sets"), _("Last set"), _("kg"), _("Pain during"), _("Next morning"), _("Woken"), _("Sharp"),
)  # fmt: skip
WRITTEN = tuple(name for name in COLUMNS if name != "load_kg")  # the load is filled in beforehand


@dataclass(frozen=True)
class Row:
    """One day of the page."""

    on: datetime.date
    cells: list[tuple[str, forms.BoundField]]


class DiaryForm(Stamped, forms.Form):
    """Every day since the program was issued, as one page.

    The rows are the days themselves, so no day can be missed, typed twice or lie in the future.
    """

    saves_itself = True
    heads = HEADS

    def __init__(
        self, *args, program: Program, days: list[DiaryDay], today: datetime.date, **kwargs
    ):
        self.program = program
        self.dates = _dates(timezone.localdate(program.issued_at), today)
        self.days = {day.on: day for day in days if day.on in self.dates}
        super().__init__(*args, **kwargs)
        for on in self.dates:
            written = formats.date_format(on, "j M")
            for name, field in columns().items():
                field.label = field.widget.attrs["aria-label"] = f"{written}, {field.label}"
                self.fields[f"{on}_{name}"] = field
                self.initial[f"{on}_{name}"] = self._initial(on, name)

    def _initial(self, on: datetime.date, name: str):
        day, program = self.days.get(on), self.program
        value = getattr(day or (program if name == "load_kg" else None), name, None)
        return f"{value:g}" if isinstance(value, float) else value

    def stored(self) -> dict[str, object]:
        return {
            f"{on}_{name}": getattr(day, name) for on, day in self.days.items() for name in COLUMNS
        }

    @property
    def rows(self) -> Iterator[Row]:
        for on in self.dates:
            fields = (self[f"{on}_{name}"] for name in COLUMNS)
            yield Row(on, list(zip(HEADS, fields, strict=True)))

    def clean(self):
        cleaned = super().clean()
        for on in self.dates:
            sets = f"{on}_sets_done"
            if self._is_written(on) and cleaned.get(sets) is None and sets not in self.errors:
                self.add_error(sets, _("Enter the sets done; 0 for a day of rest."))
        return cleaned

    def _is_written(self, on: datetime.date) -> bool:
        cells = (self.cleaned_data.get(f"{on}_{name}") for name in WRITTEN)
        return any(cell not in (None, "", False) for cell in cells)

    def keep(self) -> tuple[int, int]:
        """Write the rows as they were typed; a row emptied is taken away. Return (kept, taken away)."""
        written = [on for on in self.dates if self._is_written(on)]
        gone = [on for on in self.days if on not in written]
        for on in gone:
            self.days.pop(on).delete()
        for on in written:
            self._keep_day(on, {name: self.cleaned_data[f"{on}_{name}"] for name in COLUMNS})
        return len(written), len(gone)

    def _keep_day(self, on: datetime.date, cells: dict[str, object]) -> None:
        day = self.days.get(on) or DiaryDay(case=self.program.case, program=self.program, on=on)
        changed = [name for name, value in cells.items() if getattr(day, name) != value]
        for name in changed:
            setattr(day, name, cells[name])
        if day.pk is None or changed:
            day.save()
        self.days[on] = day


def _dates(issued: datetime.date, today: datetime.date) -> list[datetime.date]:
    first = max(issued, today - datetime.timedelta(days=MOST_DAYS - 1))
    return [first + datetime.timedelta(days=n) for n in range((today - first).days + 1)]
