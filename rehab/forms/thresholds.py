"""A clinic's own value of a threshold."""

from django import forms
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from clinic.forms import Stamped
from clinic.templatetags.clinic_tags import number, say
from rehab.clinical.thresholds import DEFAULTS, Limits, Threshold, crossing, in_steps


class ThresholdForm(Stamped, forms.Form):
    """Another value with its reason, or the printed one again (the button `printed`)."""

    value = forms.FloatField(label=_("Value in this clinic"))
    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        help_text=_("It stays in the history and is read by everybody who treats here."),
        error_messages={"required": _("Say why the value is changed.")},
    )

    def __init__(self, *args, row: Threshold, limits: Limits, **kwargs):
        self.row, self.limits = row, limits
        super().__init__(*args, **kwargs)
        self.initial["value"] = f"{row.value:g}"
        field = self.fields["value"]
        field.help_text = self._asked()
        field.error_messages |= {"required": self._asked(), "invalid": self._asked()}
        field.widget.attrs |= {"step": row.step, "min": row.lowest, "max": row.highest}
        if "printed" in self.data:
            self._put(value=f"{DEFAULTS[row.code].value:g}")

    def stored(self) -> dict[str, object]:
        return {"value": self.row.value}

    def _asked(self) -> str:
        row, shown = self.row, self.row.places
        words = now("Enter a number from %(low)s to %(high)s, in steps of %(step)s.")
        if row.step == 1:
            words = now("Enter a whole number from %(low)s to %(high)s.")
        return words % {
            "low": number(row.lowest, shown),
            "high": number(row.highest, shown),
            "step": number(row.step, shown),
        }

    def clean_value(self) -> float:
        """A value in its range, in its steps, and in order with the other limits in force."""
        row, value = self.row, self.cleaned_data["value"]
        if not row.lowest <= value <= row.highest or not in_steps(row, value):
            raise forms.ValidationError(self._asked())
        if value == row.value:
            raise forms.ValidationError(_("This is the value already."))
        if words := crossing(row.code, value, limits=self.limits):
            raise forms.ValidationError(say(words))
        return value
