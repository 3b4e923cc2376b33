"""The rows of the diary, a week at a time, in the order in which the paper has its columns."""

import datetime
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import groupby

from django import forms
from django.utils import formats, timezone
from django.utils.translation import gettext_lazy as _

from rehab.clinical.owned import is_weighed
from rehab.forms.numbers import count
from rehab.models import Program
from rehab.printing.diary_page import MOST_DAYS

ONE_DAY = datetime.timedelta(days=1)


def columns(*, holds: bool = False) -> dict[str, forms.Field]:
    """The cells of one row, in the order of the paper; of a hold the seconds are written down."""
    pain = _("Pain is a whole number from 0 to 10.")
    load = _("Enter a load from 0 (without a weight) to 50 kg.")
    last_set = {
        "last_set_repetitions": count(
            _("repetitions in the last set"), 100, _("Enter 0 to 100 repetitions.")
        )
    }
    last_hold = {"hold_s": count(_("seconds held"), 300, _("Enter 0 to 300 seconds."))}
    return {
        "sets_done": count(_("sets done"), 20, _("Enter 0 to 20 sets.")),
        **(last_hold if holds else last_set),
        "load_kg": forms.FloatField(
            label=_("load, kg"),
            min_value=0,
            max_value=50,
            required=False,
            error_messages={"invalid": load, "min_value": load, "max_value": load},
            widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        ),
        "worst_pain": count(_("worst pain during"), 10, pain),
        "next_morning_pain": count(_("pain next morning"), 10, pain),
        "night_wakings": count(_("woken at night"), 20, _("Enter how often, 0 to 20.")),
        "sharp_or_locking": forms.BooleanField(label=_("sharp pain or locking"), required=False),
        # Few patients write one, so the keys of the grid pass it by.
        "remark": forms.CharField(
            label=_("remark"),
            max_length=500,
            required=False,
            error_messages={"max_length": _("Write at most 500 letters.")},
            widget=forms.TextInput(attrs={"data-aside": ""}),
        ),
    }


HEADS = {
    "sets_done": _("Sets"),
    "last_set_repetitions": _("Last set"),
    "hold_s": _("Held, s"),
    "load_kg": _("kg"),
    "worst_pain": _("Pain during"),
    "next_morning_pain": _("Next morning"),
    "night_wakings": _("Woken"),
    "sharp_or_locking": _("Sharp"),
    "remark": _("Remark"),
}


@dataclass(frozen=True)
class Row:
    """One day of the page; without cells where the day is shut."""

    on: datetime.date
    cells: list[tuple[str, forms.BoundField]]


@dataclass(frozen=True, kw_only=True)
class Week:
    """Seven days from the weekday of issue on; the one that is typed next is open."""

    number: int
    rows: list[Row]
    written: int
    is_open: bool

    @property
    def since(self) -> datetime.date:
        return self.rows[0].on

    @property
    def until(self) -> datetime.date:
        return self.rows[-1].on


class DiaryRows(forms.Form):
    """Every day since the program was issued.

    The rows are the days themselves, so no day can be missed, typed twice or lie in the future.
    `on_record` are the days of the case that are written down.
    """

    shuts_days = False  # whether a day on record has no cells any more

    def __init__(
        self,
        *args,
        program: Program,
        on_record: Collection[datetime.date],
        today: datetime.date,
        **kwargs,
    ):
        self.program, self.today, self.every = program, today, on_record
        self.issued = timezone.localdate(program.issued_at)
        self.holds = bool(program.main) and program.main.repetitions is None
        self.columns = tuple(columns(holds=self.holds))
        self.dates = _dates(self.issued, today)
        self.written = {on for on in on_record if on in self.dates}
        self.open = [on for on in self.dates if not (self.shuts_days and on in self.written)]
        super().__init__(*args, **kwargs)
        for on in self.open:
            self._add_cells(on)

    def _add_cells(self, on: datetime.date) -> None:
        day_written = formats.date_format(on, "j M")
        for name, field in columns(holds=self.holds).items():
            field.label = field.widget.attrs["aria-label"] = f"{day_written}, {field.label}"
            self.fields[f"{on}_{name}"] = field
            self.initial[f"{on}_{name}"] = _shown(self.value_of(on, name))

    def value_of(self, on: datetime.date, name: str) -> object:
        """What a cell holds when the page is opened: the load of the program."""
        return self.program.load_kg if name == "load_kg" else None

    @property
    def heads(self) -> list[str]:
        return [HEADS[name] for name in self.columns]

    @property
    def asked(self) -> dict[str, object]:
        """A day as prescribed: what one key fills in, by column. The pain is the patient's to say."""
        main, program = self.program.main, self.program
        last = main.hold_s if self.holds else main.repetitions
        load = "" if program.load_kg is None else f"{program.load_kg:g}"
        return {"sets": main.sets * main.sessions_per_day, "last": last, "load": load}

    @property
    def rows(self) -> Iterator[Row]:
        for on in self.dates:
            names = self.columns if on in self.open else ()
            fields = [self[f"{on}_{name}"] for name in names]
            yield Row(on, list(zip(self.heads, fields, strict=False)))

    @property
    def weeks(self) -> list[Week]:
        """The rows, seven at a time from the day of issue."""
        by_week = groupby(self.rows, key=lambda row: self._week(row.on))
        found = [(number, list(rows)) for number, rows in by_week]
        open_week = self.open_week() if found else None
        return [
            Week(
                number=number,
                rows=rows,
                written=sum(row.on in self.written for row in rows),
                is_open=number == open_week,
            )
            for number, rows in found
        ]

    @property
    def first_cell(self) -> str:
        """Where typing begins: the first cell of the first day that is not written down yet."""
        return self[f"{self._next_day()}_sets_done"].auto_id

    def open_week(self) -> int | None:
        """The week with something wrong, else the one to type next."""
        wrong = [on for on in self.open for name in self.columns if f"{on}_{name}" in self.errors]
        return self._week(wrong[0] if wrong else self._next_day())

    def _week(self, on: datetime.date) -> int:
        return (on - self.issued).days // 7 + 1

    def _next_day(self) -> datetime.date:
        """The first day after the last that is written down, else the last that can be typed."""
        last = max(self.written, default=self.dates[0] - ONE_DAY)
        after = [on for on in self.open if on > last]
        return (after or self.open[-1:] or self.dates[-1:])[0]

    def clean(self):
        cleaned = super().clean()
        for on in self.open:
            sets = f"{on}_sets_done"
            if self.is_written(on) and cleaned.get(sets) is None and sets not in self.errors:
                self.add_error(sets, _("Enter the sets done; 0 for a day of rest."))
            self._check_load(on, cleaned.get(f"{on}_load_kg"))
        return cleaned

    def _check_load(self, on: datetime.date, load_kg: float | None) -> None:
        """What was lifted must be owned; a load of the program or of the record is not asked about again."""
        owned, main = self.program.owned, self.program.main
        known = (self.program.load_kg, self.value_of(on, "load_kg"), None)
        if load_kg in known or owned is None or not is_weighed(main.card):
            return
        if not owned.owns(load_kg, main.card):
            self.add_error(f"{on}_load_kg", self.not_owned())

    def not_owned(self) -> str:
        """What is said of a load that the patient does not own."""
        raise NotImplementedError

    def elsewhere(self) -> Iterator[tuple[datetime.date, str]]:
        """Days that came with the page and aren't open in it, with what was typed for each."""
        given: dict[datetime.date, dict[str, str]] = {}
        for key, value in self.data.items():
            on, name = _of_key(key.removeprefix(f"{self.prefix}-"))
            if on and name in HEADS and on not in self.open:
                given.setdefault(on, {})[name] = value
        for on, cells in sorted(given.items()):
            if any(value for name, value in cells.items() if name != "load_kg"):
                yield (
                    on,
                    ", ".join(f"{HEADS[name]} {cells[name]}" for name in HEADS if cells.get(name)),
                )

    def is_written(self, on: datetime.date) -> bool:
        # The load is filled in beforehand.
        names = (name for name in self.columns if name != "load_kg")
        cells = (self.cleaned_data.get(f"{on}_{name}") for name in names)
        # 0 is an answer, and equal to False: a day of rest without pain is written down too.
        return any(cell is not None and cell is not False and cell != "" for cell in cells)

    def cells(self, on: datetime.date) -> dict[str, object]:
        """What was typed for a day, by column."""
        return {name: self.cleaned_data[f"{on}_{name}"] for name in self.columns}


def _shown(value: object) -> object:
    return f"{value:g}" if isinstance(value, float) else value


def _dates(issued: datetime.date, today: datetime.date) -> list[datetime.date]:
    first = max(issued, today - datetime.timedelta(days=MOST_DAYS - 1))
    return [first + datetime.timedelta(days=n) for n in range((today - first).days + 1)]


def _of_key(key: str) -> tuple[datetime.date | None, str]:
    day, _between, name = key.partition("_")
    try:
        return datetime.date.fromisoformat(day), name
    except ValueError:
        return None, name
