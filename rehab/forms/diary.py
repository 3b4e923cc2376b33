"""The diary typed in by who treats: every day can be read and corrected."""

import datetime

from django.utils.translation import gettext

from clinic.forms import Stamped
from clinic.templatetags.clinic_tags import say, written
from rehab.forms.diary_rows import ONE_DAY, DiaryRows
from rehab.models import DiaryDay, Program


def not_of_program(on: datetime.date, program: Program, issued: datetime.date, cells: str) -> str:
    """Say that a day was not saved, with what was typed for it."""
    words = gettext(
        "%(day)s is not a day of program %(n)s, which was issued on %(issued)s. "
        "It was not saved: %(cells)s."
    )
    told = {"day": written(on), "n": program.version, "issued": written(issued), "cells": cells}
    return words % told


class DiaryForm(Stamped, DiaryRows):
    """The whole diary of a program, as it is on record."""

    saves_itself = True

    def __init__(
        self,
        *args,
        program: Program,
        days: list[DiaryDay],
        today: datetime.date,
        folds: bool = False,
        **kwargs,
    ):
        self.folds, self.days = folds, {day.on: day for day in days}
        super().__init__(*args, program=program, on_record=list(self.days), today=today, **kwargs)

    def value_of(self, on: datetime.date, name: str) -> object:
        day = self.days.get(on)
        return getattr(day, name) if day else super().value_of(on, name)

    def stored(self) -> dict[str, object]:
        return {
            f"{on}_{name}": getattr(self.days[on], name)
            for on in self.dates
            if on in self.days
            for name in self.columns
        }

    def open_week(self) -> int | None:
        """As for every diary; none where a full one may fold."""
        if self.folds and not self.is_bound and self._is_up_to_date():
            return None
        return super().open_week()

    def _is_up_to_date(self) -> bool:
        """Whether yesterday is written down; today's morning is still to come."""
        return max(self.written, default=self.issued) >= self.today - ONE_DAY

    def not_owned(self) -> str:
        return say(self.program.owned.words(self.program.main.card))

    def clean(self):
        cleaned = super().clean()
        for on, cells in self.elsewhere():
            if on not in self.days:  # another program has begun
                self.add_error(None, not_of_program(on, self.program, self.issued, cells))
        return cleaned

    def keep(self) -> tuple[int, int]:
        """Write the rows as they were typed; a row emptied is taken away. Return (kept, taken away)."""
        filled = [on for on in self.dates if self.is_written(on)]
        gone = [on for on in self.written if on not in filled]
        for on in gone:
            self.days.pop(on).delete()
        for on in filled:
            self._keep_day(on, self.cells(on))
        return len(filled), len(gone)

    def _keep_day(self, on: datetime.date, cells: dict[str, object]) -> None:
        day = self.days.get(on) or DiaryDay(case=self.program.case, program=self.program, on=on)
        changed = [name for name, value in cells.items() if getattr(day, name) != value]
        for name in changed:
            setattr(day, name, cells[name])
        if day.pk is None or changed:
            day.save()
        self.days[on] = day
