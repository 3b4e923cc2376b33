"""When it suits a patient to come: weekdays and parts of the day, as ticks and in words."""

from collections.abc import Iterable

from django import forms
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.translation import gettext_lazy as _

from clinic.first_fits import PartOfDay
from clinic.models import OpeningHours
from clinic.templatetags.clinic_tags import say


class WeekdayTicks(forms.TypedMultipleChoiceField):
    """Weekdays by number; 0 is Monday. None ticked means any."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **kwargs):
        given = {"label": _("Weekdays"), "choices": OpeningHours.Weekday.choices, "required": False}
        super().__init__(coerce=int, **(given | kwargs))


class PartTicks(forms.MultipleChoiceField):
    """Parts of the day. None ticked means any."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **kwargs):
        parts = [(part.value, _(part.value)) for part in PartOfDay]
        super().__init__(
            **({"label": _("Time of day"), "choices": parts, "required": False} | kwargs)
        )


def suits_words(weekdays: Iterable[int], parts: Iterable[str]) -> str:
    """What suits, in a few words: Tue, Thu · morning. Empty where anything does."""
    days = ", ".join(str(WEEKDAYS_ABBR[day]) for day in sorted(weekdays))
    times = ", ".join(say(part.value) for part in PartOfDay if part in list(parts))
    return " · ".join(filter(None, (days, times)))
