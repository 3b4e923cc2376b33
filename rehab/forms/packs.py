"""Who gets a pack of the day, and what may be in it."""

from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.forms.boundfield import BoundWidget
from django.utils.translation import gettext_lazy as _

from cases.forms.told import ticks
from cases.models import Patient
from clinic.models import Staff
from rehab.models import Handout
from rehab.packs import USUAL, PackDay, Row

SELF_CHECK = Handout.Kind.SELF_CHECK
NOBODY = "nobody"
GONE = _("A patient who was ticked does not come on this day any more. Look once more.")


@dataclass(frozen=True, kw_only=True)
class TickedRow:
    """A patient of the day with the two ticks of the line; no second one without an open case."""

    row: Row
    pack: BoundWidget
    self_check: BoundWidget | None


class PackForm(forms.Form):
    """The ticks of one day. `ticked` is whom to begin with: all, nobody, or a practitioner's patients."""

    sheets = ticks([], label=_("In every pack"))
    patients = ticks([], error_messages={"invalid_choice": GONE})
    self_check = ticks([], error_messages={"invalid_choice": GONE})
    two_sided = forms.BooleanField(
        label=_("Printed on both sides"),
        required=False,
        help_text=_("Each sheet then begins on a leaf of its own."),
    )

    def __init__(self, data, *, listed: PackDay, ticked: str = ""):
        self.listed = listed
        patients = [row.patient.pk for who, rows in listed.groups for row in rows]
        first = [
            row.patient.pk
            for who, rows in listed.groups
            for row in rows
            if ticked in ("", str(who.pk))
        ]
        super().__init__(
            data, initial={"sheets": list(USUAL), "patients": first, "two_sided": True}
        )
        self.fields["sheets"].choices = [(kind.value, kind.label.capitalize()) for kind in USUAL]
        for name in ("patients", "self_check"):
            self.fields[name].choices = [(pk, pk) for pk in patients]

    @property
    def groups(self) -> Iterator[tuple[Staff, list[TickedRow]]]:
        """The day's lines by practitioner, each with its own ticks."""
        lines = iter(zip(self["patients"], self["self_check"], strict=True))
        for who, rows in self.listed.groups:
            yield who, [self._line(row, *next(lines)) for row in rows]

    @staticmethod
    def _line(row: Row, pack: BoundWidget, self_check: BoundWidget) -> TickedRow:
        return TickedRow(row=row, pack=pack, self_check=self_check if row.cases else None)

    def clean(self):
        cleaned = super().clean()
        if not self.errors and not self.packs:
            raise forms.ValidationError(
                _("Nothing to print is ticked. Tick a sheet, and a patient who has it.")
            )
        return cleaned

    @property
    def packs(self) -> list[tuple[Patient, list[str]]]:
        """Each patient who gets anything, with the kinds of sheets that they may get."""
        asked = ((row, self._kinds(row)) for row in self.listed.rows)
        return [(row.patient, kinds) for row, kinds in asked if row.parts(kinds)]

    def _kinds(self, row: Row) -> list[str]:
        chosen, pk = self.cleaned_data, str(row.patient.pk)
        usual = chosen["sheets"] if pk in chosen["patients"] else []
        return [*usual, *([SELF_CHECK.value] if pk in chosen["self_check"] else [])]
