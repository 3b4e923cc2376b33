"""The week's opening hours as one form: two openings a weekday, or as many as are on record."""

import datetime
from collections.abc import Iterator

from django import forms
from django.forms import BoundField
from django.http import QueryDict
from django.utils.translation import gettext as _

from clinic.forms import WRONG_TIME, Stamped, TimeInput
from clinic.models import Clinic, OpeningHours

Weekday = OpeningHours.Weekday
OPENINGS = 2  # a day, with a break at noon
ENDS = ("opens", "closes")
ALIKE = "alike"  # the button that takes Monday's hours for the days after it


class HoursForm(Stamped, forms.Form):
    """Changes the hours of `clinic`. The view holds the clinic's row, whose hours are written as a whole."""

    def __init__(self, *args, clinic: Clinic, **kwargs):
        self.clinic = clinic
        self.rows: dict[int, list[OpeningHours]] = {day: [] for day in Weekday}
        for row in OpeningHours.objects.of(clinic):
            self.rows[row.weekday].append(row)
        super().__init__(*args, **kwargs)
        if ALIKE in self.data:
            self.data = self._alike(self.data)
        for day, number in self._openings():
            told = {"day": day.label, "number": number + 1}
            self._add(f"{day}-{number}-opens", _("%(day)s, opening %(number)s: from") % told)
            self._add(f"{day}-{number}-closes", _("%(day)s, opening %(number)s: until") % told)
        self.initial |= self.on_record

    @property
    def is_first(self) -> bool:
        """Whether no hours are on record yet."""
        return not any(self.rows.values())

    def _alike(self, typed: QueryDict) -> QueryDict:
        """Monday's hours for each day until Friday in which nothing was typed."""
        filled, ends = typed.copy(), [f"{n}-{end}" for n in range(OPENINGS) for end in ENDS]
        for day in range(Weekday.TUESDAY, Weekday.SATURDAY):
            if not any(typed.get(f"{day}-{end}") for end in ends):
                for end in ends:
                    filled[f"{day}-{end}"] = typed.get(f"{Weekday.MONDAY}-{end}", "")
        return filled

    def _openings(self) -> Iterator[tuple[Weekday, int]]:
        for day in Weekday:
            for number in range(max(OPENINGS, len(self.rows[day]))):
                yield day, number

    def _add(self, name: str, label: str) -> None:
        self.fields[name] = forms.TimeField(
            label=label,
            required=False,
            widget=TimeInput(step=300),
            error_messages={"invalid": WRONG_TIME},
        )

    def stored(self) -> dict[str, object]:
        held: dict[str, object] = {}
        for day, number in self._openings():
            row = self.rows[day][number] if number < len(self.rows[day]) else None
            held[f"{day}-{number}-opens"] = row.opens if row else None
            held[f"{day}-{number}-closes"] = row.closes if row else None
        return held

    def week(self) -> Iterator[tuple[Weekday, list[tuple[BoundField, BoundField]]]]:
        """Each weekday with the two fields of its openings, as the page shows them."""
        for day in Weekday:
            mine = [number for one, number in self._openings() if one == day]
            yield day, [(self[f"{day}-{n}-opens"], self[f"{day}-{n}-closes"]) for n in mine]

    def clean(self):
        cleaned = super().clean()
        for day in Weekday:
            self._check_day(day)
        return cleaned

    def _check_day(self, day: Weekday) -> None:
        before = None
        for name, opens, closes in self._typed(day):
            if opens is None or closes is None:
                self.add_error(name, _("Enter both times, or neither."))
            elif closes <= opens:
                self.add_error(name, _("The clinic can't close before it opens."))
            elif before and opens < before:
                self.add_error(name, _("The opening above it ends later than this one begins."))
            before = closes

    def _typed(
        self, day: Weekday
    ) -> Iterator[tuple[str, datetime.time | None, datetime.time | None]]:
        """The openings of a day with anything in them; what isn't a time has its error already."""
        for number in [n for one, n in self._openings() if one == day]:
            first, second = f"{day}-{number}-opens", f"{day}-{number}-closes"
            opens, closes = self.cleaned_data.get(first), self.cleaned_data.get(second)
            if (opens or closes) and not {first, second} & set(self.errors):
                yield first, opens, closes

    def changed_days(self) -> list[str]:
        """The weekdays that a save would change, by their names in English."""
        changed = {
            int(name[0]) for name, was in self.on_record.items() if self.cleaned_data[name] != was
        }
        return [Weekday(day).name.lower() for day in sorted(changed)]

    def save(self) -> None:
        OpeningHours.objects.of(self.clinic).delete()
        OpeningHours.objects.bulk_create(
            OpeningHours(clinic=self.clinic, weekday=day, opens=opens, closes=closes)
            for day in Weekday
            for _name, opens, closes in self._typed(day)
        )
