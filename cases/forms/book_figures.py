"""Which weeks and whose appointments are counted."""

from django import forms
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from clinic.models import Clinic, Staff

WEEKS = (4, 8, 13, 26, 52)
USUAL_WEEKS = 8


class BookFiguresForm(forms.Form):
    """The choices above the figures; both stand in the address."""

    weeks = forms.TypedChoiceField(
        label=_("Weeks back"), required=False, coerce=int, empty_value=USUAL_WEEKS
    )
    who = forms.ModelChoiceField(
        label=_("Practitioner"),
        queryset=Staff.objects.none(),
        required=False,
        empty_label=_("everybody"),
        error_messages={"invalid_choice": _("Choose a practitioner of this clinic.")},
    )

    def __init__(self, data, *, clinic: Clinic):
        super().__init__({"weeks": USUAL_WEEKS} | data.dict())
        self.fields["who"].queryset = Staff.objects.of(clinic).who_treat()
        self.fields["weeks"].choices = [
            (number, ngettext("%d week", "%d weeks", number) % number) for number in WEEKS
        ]
        self.full_clean()

    @property
    def chosen_weeks(self) -> int:
        return self.cleaned_data.get("weeks", USUAL_WEEKS)

    @property
    def chosen_who(self) -> Staff | None:
        return self.cleaned_data.get("who")
