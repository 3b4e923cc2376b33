"""The diary typed in by who holds the paper and may not read the record: each day once, then it is shut."""

import datetime

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from clinic.templatetags.clinic_tags import written
from rehab.forms.diary import not_of_program
from rehab.forms.diary_rows import DiaryRows
from rehab.models import DiaryDay


class PaperDiaryForm(DiaryRows):
    """The days that nobody has typed in yet.

    It holds no value of the record, so neither the page nor a refusal can say one. It does not save itself: a
    row half typed would be on record, and so shut to the one who is typing it.
    """

    shuts_days = True

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.open and not self.is_bound:
            self.fields[f"{self._next_day()}_sets_done"].widget.attrs["autofocus"] = True

    def not_owned(self) -> str:
        """Without naming what the patient owns, which stands on no paper of theirs."""
        return gettext("No such load is known. Look at the paper again, or put it into the remark.")

    def clean(self):
        cleaned = super().clean()
        refused = [self._refusal(on, cells) for on, cells in self.elsewhere()]
        for sentence in refused:
            self.add_error(None, sentence)
        if not self.errors and not self._filled:
            self.add_error(None, _("Nothing is typed yet. Begin with the first day on the paper."))
        return cleaned

    def _refusal(self, on: datetime.date, cells: str) -> str:
        if on not in self.every:
            return not_of_program(on, self.program, self.issued, cells)
        words = gettext(
            "%(day)s has been typed in meanwhile and stays as it is. What you typed was not saved: %(cells)s."
        )
        return words % {"day": written(on), "cells": cells}

    @property
    def _filled(self) -> list[datetime.date]:
        return [on for on in self.open if self.is_written(on)]

    def keep(self) -> int:
        """Write the days that were typed and return how many; the view has locked the case."""
        for on in self._filled:
            cells = self.cells(on)
            DiaryDay.objects.create(case=self.program.case, program=self.program, on=on, **cells)
        return len(self._filled)
