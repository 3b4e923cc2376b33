"""Kinds of answers that a patient gives: a few words to choose from, a rating, hours, a count."""

import math

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

PAIN = gettext_lazy("Pain is a whole number from 0 to 10.")
NOT_ASKED = ("", gettext_lazy("not asked"))
YES_NO = [("true", gettext_lazy("yes")), ("false", gettext_lazy("no")), NOT_ASKED]


def keys(choices, **kwargs) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        choices=choices, widget=forms.RadioSelect, required=False, **kwargs
    )


def ticks(choices, **kwargs) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        choices=choices, widget=forms.CheckboxSelectMultiple, required=False, **kwargs
    )


def pain_field(*, ask: str = "", **kwargs) -> forms.IntegerField:
    """A rating; `ask` is what to say where it is needed and left out."""
    messages = {"min_value": PAIN, "max_value": PAIN, "invalid": PAIN, "required": ask}
    return forms.IntegerField(min_value=0, max_value=10, error_messages=messages, **kwargs)


def rating(label) -> forms.IntegerField:
    return pain_field(label=label, required=False)


class YesNo(forms.TypedChoiceField):
    """Yes, no, or not asked."""

    def __init__(self, *, choices=YES_NO, **kwargs):
        super().__init__(
            choices=choices,
            coerce=lambda value: value == "true",
            empty_value=None,
            widget=forms.RadioSelect,
            required=False,
            **kwargs,
        )

    def prepare_value(self, value):
        return str(value).lower() if isinstance(value, bool) else value

    def has_changed(self, initial, data) -> bool:
        return (self.prepare_value(initial) or "") != (data or "")


class Amount(forms.FloatField):
    """A number with a decimal point or comma, from 0 up to `most`; `why` is said when it is more."""

    widget = forms.TextInput

    def __init__(self, *, most: float, why, **kwargs):
        super().__init__(required=False, **kwargs)
        self.most, self.why = most, why

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"inputmode": "decimal", "autocomplete": "off", "maxlength": "8"}

    def prepare_value(self, value):
        return f"{value:g}" if isinstance(value, float) else value

    def to_python(self, value):
        text = value.replace(",", ".") if isinstance(value, str) else value
        try:
            return super().to_python(text)
        except forms.ValidationError as error:
            raise forms.ValidationError(
                _("Type a number such as 2.5, or leave it empty.")
            ) from error

    def validate(self, value) -> None:
        if value is not None and not (math.isfinite(value) and value >= 0):
            raise forms.ValidationError(_("Type a number such as 2.5, or leave it empty."))
        if value is not None and value > self.most:
            raise forms.ValidationError(self.why)


def hours_a_week(label) -> Amount:
    return Amount(label=label, most=168, why=gettext_lazy("A week has 168 hours."))


class Count(forms.IntegerField):
    """A whole number from 0 up to `most`."""

    widget = forms.TextInput

    def __init__(self, *, most: int, why, **kwargs):
        wrong = gettext_lazy("Type a whole number, or leave it empty.")
        messages = {"invalid": wrong, "min_value": wrong, "max_value": why}
        super().__init__(
            required=False, min_value=0, max_value=most, error_messages=messages, **kwargs
        )

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"inputmode": "numeric", "autocomplete": "off", "maxlength": "5"}
