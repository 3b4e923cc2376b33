"""How near the wanted day a free time is looked for, and what suits the patient."""

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from cases.suits import PartTicks, WeekdayTicks
from clinic.forms import NearDate

# A clinic's own habit, no source: a few days early are as good as a week late.
DAYS_BEFORE, DAYS_AFTER = 3, 7
MOST_DAYS = 56  # eight weeks; a day further off is better looked for as the wanted day
WRONG = {
    "invalid": _("Enter whole days."),
    "min_value": _("Enter 0 to 56 days."),
    "max_value": _("Enter 0 to 56 days."),
}


class FindForm(forms.Form):
    """Stands inside the form of an appointment and is sent with it; what is unsound is left out."""

    days_before = forms.IntegerField(
        label=_("Days before"),
        required=False,
        min_value=0,
        max_value=MOST_DAYS,
        error_messages=WRONG,
    )
    days_after = forms.IntegerField(
        label=_("Days after"),
        required=False,
        min_value=0,
        max_value=MOST_DAYS,
        error_messages=WRONG,
    )
    weekdays = WeekdayTicks()
    parts = PartTicks()
    only = NearDate(required=False)  # the button of a day, which shows all its free times

    def __init__(self, data=None, *, patient: Patient):
        proposed = {
            "days_before": DAYS_BEFORE,
            "days_after": DAYS_AFTER,
            "weekdays": patient.suits_weekdays,
            "parts": patient.suits_parts,
            "only": None,
        }
        super().__init__(data, initial=proposed)

    @property
    def is_open(self) -> bool:
        """Whether something else than the proposals was typed, so that it should be seen."""
        return self.is_bound and (not self.is_valid() or bool({*self.changed_data} - {"only"}))

    def sound(self) -> dict:
        """What was asked for where it makes sense, otherwise what is proposed."""
        if not self.is_bound:
            return dict(self.initial)
        self.full_clean()
        typed = {name: value for name, value in self.cleaned_data.items() if value is not None}
        return self.initial | typed
