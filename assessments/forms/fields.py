"""Numbers as they are typed, and what is said of one that is none."""

from django import forms
from django.utils.translation import gettext as _


class Whole(forms.IntegerField):
    """A whole number from `low` to `high`, or nothing."""

    widget = forms.TextInput

    def __init__(self, *, low: int, high: int, **kwargs):
        super().__init__(required=False, min_value=low, max_value=high, **kwargs)

    def widget_attrs(self, widget) -> dict[str, str]:
        mode = "numeric" if self.min_value >= 0 else "text"
        return {"inputmode": mode, "autocomplete": "off", "maxlength": "4"}

    def to_python(self, value):
        return super().to_python(value.replace("−", "-") if isinstance(value, str) else value)

    def clean(self, value):
        try:
            return super().clean(value)
        except forms.ValidationError as error:
            text = _("%(typed)s is not a whole number from %(low)s to %(high)s.")
            values = {"typed": value, "low": self.min_value, "high": self.max_value}
            raise forms.ValidationError(text, params=values) from error


class Rating(Whole):
    """A whole number from 0 to 10, or nothing."""

    def __init__(self, **kwargs):
        super().__init__(low=0, high=10, **kwargs)


class Reading(forms.FloatField):
    """What the dial showed, with a decimal point or comma, or nothing."""

    widget = forms.TextInput

    def __init__(self, **kwargs):
        super().__init__(required=False, min_value=0, **kwargs)

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"inputmode": "decimal", "autocomplete": "off", "maxlength": "8"}

    def clean(self, value):
        try:
            return super().clean(value.replace(",", ".") if value else value)
        except forms.ValidationError as error:
            text = _("%(typed)s is not a grip. Type a number such as 34.5, or leave it empty.")
            raise forms.ValidationError(text, params={"typed": value}) from error
