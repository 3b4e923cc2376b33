"""What the patient has at home to train with, as it is told or looked up."""

import re

from django import forms
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from cases.forms.told import Amount
from clinic.forms import StampedModelForm
from rehab.clinical.owned import HEAVIEST_KG
from rehab.models import Equipment

MOST_WEIGHTS = 40


class Weights(forms.CharField):
    """Weights in kg in one line, such as "0.5 1 1,5 2 kg"; they come out sorted, each once."""

    widget = forms.TextInput

    def widget_attrs(self, widget) -> dict[str, str]:
        # No decimal keypad: it has no space on some phones.
        return {"autocomplete": "off"}

    def prepare_value(self, value):
        return " ".join(f"{kg:g}" for kg in value) if isinstance(value, list) else value

    def to_python(self, value) -> list[float]:
        # A comma with a space behind it parts two weights; one inside a number is a decimal comma.
        text = re.sub(r"(?i)\bkg\b|(?<=\d)kg\b", " ", value or "")
        words = re.split(r"(?:[;\s]|,(?=\s|$))+", text)
        found = sorted({self._weight(word) for word in words if word})
        if len(found) > MOST_WEIGHTS:
            raise forms.ValidationError(_("Type up to 40 weights."))
        return found

    def _weight(self, word: str) -> float:
        if not re.fullmatch(r"\d*[.,]?\d+", word):
            text = now(
                "“%(word)s” is not a weight. Type numbers with spaces between, such as 0.5 1 2."
            )
            raise forms.ValidationError(text % {"word": word})
        kg = round(float(word.replace(",", ".")), 3)
        if not 0 < kg <= HEAVIEST_KG:
            text = now("%(word)s kg can't be: weights are above 0 and up to 50 kg.")
            raise forms.ValidationError(text % {"word": word})
        return kg

    def has_changed(self, initial, data) -> bool:
        return self.prepare_value(initial) != data


def _newtons(label, hint="") -> Amount:
    return Amount(
        label=label, help_text=hint, most=500, why=_("A band pulls up to 500 N; this is more.")
    )


class EquipmentForm(StampedModelForm):
    """Weights, bottle, band, hammer, ball and bar."""

    weights_kg = Weights(
        label=_("Weights, kg"),
        required=False,
        help_text=_("All that are there, with spaces between, for example 0.5 1 1.5 2."),
    )
    band_at_50_n = _newtons(_("At half as long again, N"))
    band_at_100_n = _newtons(_("At double length, N"))
    hammer_kg = Amount(
        label=_("Its weight, kg"),
        most=5,
        why=_("An offset weight is up to 5 kg; this is more."),
    )
    hammer_m = Amount(
        label=_("From the grip to the weight, m"),
        most=1,
        why=_("The length is in meters, up to 1 m; this is more."),
    )

    class Meta:
        model = Equipment
        fields = [
            "weights_kg", "has_bottle", "band_at_50_n", "band_at_100_n", "hammer_kg", "hammer_m",
            "has_ball", "has_twist_bar",
        ]  # fmt: skip

    def clean(self):
        cleaned = super().clean()
        self._both(
            cleaned,
            ("band_at_50_n", "band_at_100_n"),
            _("Pull the band to both lengths, or leave both empty."),
        )
        self._both(
            cleaned,
            ("hammer_kg", "hammer_m"),
            _("Give both the weight and its length, or leave both empty."),
        )
        half, double = cleaned.get("band_at_50_n"), cleaned.get("band_at_100_n")
        if half and double and half >= double:
            self.add_error(
                "band_at_100_n", _("A band pulls more at double length than at half as long again.")
            )
        return cleaned

    def _both(self, cleaned, names: tuple[str, str], message: str) -> None:
        """Two numbers that only mean something together, both above 0."""
        if any(name in self.errors for name in names):
            return
        given = [cleaned.get(name) for name in names]
        for name, value in zip(names, given, strict=True):
            if value == 0:
                self.add_error(name, _("Type a number above 0, or leave it empty."))
            elif value is None and any(other is not None for other in given):
                self.add_error(name, message)
