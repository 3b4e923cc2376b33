"""The diary page typed in: one row a day, in the order in which the paper has its columns."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.utils import formats, timezone
from django.utils.translation import gettext_lazy as _

from clinic.forms import DateInput, Stamped
from rehab.models import DiaryDay, Program

MOST_DAYS = 42  # six weeks, the longest diary page


def count(label: str, high: int, message: str) -> forms.IntegerField:
    messages = {"invalid": message, "min_value": message, "max_value": message}
    return forms.IntegerField(
        label=label, min_value=0, max_value=high, required=False, error_messages=messages
    )


def columns() -> dict[str, forms.Field]:
    """The cells of one row, in the order of the paper."""
    pain = _("Pain is a whole number from 0 to 10.")
    return {
        "on": forms.DateField(label=_("day"), widget=DateInput(), required=False),
        "sets_done": count(_("sets done"), 20, _("Enter 0 to 20 sets.")),
        "last_set_repetitions": count(_("repetitions in the last set"), 100, _("Enter 0 to 100.")),
        "load_kg": forms.FloatField(
            label=_("load, kg"),
            min_value=0,
            max_value=50,
            required=False,
            error_messages={"max_value": _("Enter a load from 0 to 50 kg.")},
        ),
        "worst_pain": count(_("worst pain during"), 10, pain),
        "next_morning_pain": count(_("pain next morning"), 10, pain),
        "night_wakings": count(_("woken at night"), 20, _("Enter how often, 0 to 20.")),
        "sharp_or_locking": forms.BooleanField(label=_("sharp pain or locking"), required=False),
    }


COLUMNS = tuple(columns())
WRITTEN = tuple(name for name in COLUMNS if name not in ("on", "load_kg"))


@dataclass(frozen=True)
class Row:
    """One day of the page: its bound fields, and the day on record if there is one."""

    number: int
    fields: list[forms.BoundField]
    day: DiaryDay | None


class DiaryForm(Stamped, forms.Form):
    """All days since the program was issued, as one page."""

    saves_itself = True

    def __init__(
        self, *args, program: Program, days: list[DiaryDay], today: datetime.date, **kwargs
    ):
        self.program, self.today = program, today
        self.days = {day.on: day for day in days}
        self.dates = self._dates()
        super().__init__(*args, **kwargs)
        for number, on in enumerate(self.dates):
            day = formats.date_format(on, "j M")
            for name, field in columns().items():
                field.label = f"{day}, {field.label}"
                self.fields[f"{number}_{name}"] = field
                self.initial[f"{number}_{name}"] = self._initial(on, name)

    def _dates(self) -> list[datetime.date]:
        issued = timezone.localdate(self.program.issued_at)
        first = max(issued, self.today - datetime.timedelta(days=MOST_DAYS - 1))
        return [first + datetime.timedelta(days=n) for n in range((self.today - first).days + 1)]

    def _initial(self, on: datetime.date, name: str):
        if name == "on":
            return on
        day = self.days.get(on)
        if day is None:
            return self.program.load_kg if name == "load_kg" else None
        return getattr(day, name)

    def stored(self) -> dict[str, object]:
        return {
            f"{number}_{name}": getattr(self.days[on], name)
            for number, on in enumerate(self.dates)
            if on in self.days
            for name in COLUMNS
        }

    @property
    def rows(self) -> Iterator[Row]:
        for number, on in enumerate(self.dates):
            fields = [self[f"{number}_{name}"] for name in COLUMNS]
            yield Row(number, fields, self.days.get(on))

    def clean(self):
        cleaned = super().clean()
        seen: dict[datetime.date, int] = {}
        for number in range(len(self.dates)):
            if self._is_written(number):
                self._check_row(number, seen)
        return cleaned

    def _is_written(self, number: int) -> bool:
        cells = (self.cleaned_data.get(f"{number}_{name}") for name in WRITTEN)
        return any(cell not in (None, "", False) for cell in cells)

    def _check_row(self, number: int, seen: dict[datetime.date, int]) -> None:
        on = self.cleaned_data.get(f"{number}_on")
        if problem := self._problem_of(on, seen):
            self.add_error(f"{number}_on", problem)
        seen.setdefault(on, number)
        sets = f"{number}_sets_done"
        if self.cleaned_data.get(sets) is None and sets not in self.errors:
            self.add_error(sets, _("Enter the sets done; 0 for a day of rest."))

    def _problem_of(self, on: datetime.date | None, seen: dict) -> str | None:
        if on is None:
            return _("Enter the day.")
        if on > self.today:
            return _("This day has not come yet.")
        if on < self.program.case.opened:
            return _("The case was not open yet on that day.")
        if on in seen:
            day = formats.date_format(on, "j M Y")
            return _("%(day)s is in another row already.") % {"day": day}
        return None

    def keep(self) -> tuple[int, int]:
        """Write the rows as they were typed; a row emptied is taken away. Return (kept, taken away)."""
        written = {
            self.cleaned_data[f"{number}_on"]: {
                name: self.cleaned_data[f"{number}_{name}"] for name in COLUMNS if name != "on"
            }
            for number in range(len(self.dates))
            if self._is_written(number)
        }
        gone = [day for on, day in self.days.items() if on in self.dates and on not in written]
        for day in gone:
            del self.days[day.on]
            day.delete()
        for on, cells in written.items():
            self._keep_day(on, cells)
        return len(written), len(gone)

    def _keep_day(self, on: datetime.date, cells: dict[str, object]) -> None:
        day = self.days.get(on) or DiaryDay(case=self.program.case, program=self.program, on=on)
        changed = [name for name, value in cells.items() if getattr(day, name) != value]
        for name in changed:
            setattr(day, name, cells[name])
        if day.pk is None or changed:
            day.save()
        self.days[on] = day
