"""The signs that are examined beside the screening questions: found, not found, or not looked for."""

from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.screening_readings import spots
from cases.clinical.screening_signs import GROUPS, Outcome, Sign, SignGroup
from cases.clinical.sides import Side
from cases.models import Screening

NOT_LOOKED_FOR = ("", gettext_lazy("not tested"))


def sign_name(sign: Sign, side: Side | None) -> str:
    return f"sign-{sign.code}-{side}" if side else f"sign-{sign.code}"


def outcomes_of(screening: Screening | None) -> dict[tuple[str, str], str]:
    """What was found in the round, by sign and side; the side is "" where it is recorded once."""
    rows = screening.signs.all() if screening else ()
    return {(row.sign, row.side): row.outcome for row in rows}


@dataclass(frozen=True, kw_only=True)
class GroupRows:
    """The signs of one group with their fields."""

    group: SignGroup
    rows: list[forms.BoundField]

    @property
    def is_open(self) -> bool:
        return any(field.value() or field.errors for field in self.rows)


class SignFields:
    """One field a sign and side; `looked_for` holds what is on record."""

    looked_for: dict[tuple[str, str], str]

    def _add_signs(self) -> None:
        for sign, side in self._spots():
            label = _(sign.label)
            self.fields[sign_name(sign, side)] = forms.ChoiceField(
                label=f"{label}, {_(side.label)}" if side else label,
                choices=[*((slug, _(word)) for slug, word in Outcome.choices()), NOT_LOOKED_FOR],
                required=False,
                widget=forms.RadioSelect,
                initial=self.looked_for.get((sign.code, side or ""), ""),
            )

    def _spots(self) -> list[tuple[Sign, Side | None]]:
        return [spot for group in GROUPS for spot in spots(group)]

    def stored_signs(self) -> dict[str, str]:
        return {
            sign_name(sign, side): self.looked_for[sign.code, side or ""]
            for sign, side in self._spots()
            if (sign.code, side or "") in self.looked_for
        }

    def sign_groups(self) -> list[GroupRows]:
        return [
            GroupRows(group=group, rows=[self[sign_name(*spot)] for spot in spots(group)])
            for group in GROUPS
        ]

    def keep_signs(self, screening: Screening) -> list[str]:
        outcomes = {
            (sign.code, str(side or "")): self.cleaned_data[sign_name(sign, side)]
            for sign, side in self._spots()
        }
        changed = screening.write_signs(outcomes)
        self.looked_for = {spot: outcome for spot, outcome in outcomes.items() if outcome}
        return changed
