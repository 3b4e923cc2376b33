"""What a patient asks of the record, with the day on which it was asked."""

import datetime

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.forms import WRONG_DAY

WRONG_ASKED_ON = {"required": _("Enter the day."), "invalid": WRONG_DAY}


class AskedForm(forms.ModelForm):
    """A form with a field `asked_on`."""

    def clean_asked_on(self) -> datetime.date:
        day = self.cleaned_data["asked_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(_("This day is still to come."))
        return day
