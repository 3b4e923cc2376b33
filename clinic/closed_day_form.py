"""A day on which the clinic is closed, as its manager types it."""

import datetime

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.forms import DateInput, NearDate
from clinic.models import ClosedDay


class ClosedDayForm(forms.ModelForm):
    """Closes a day of `instance.clinic`. The view holds the clinic's row, so that no day is closed twice."""

    class Meta:
        model = ClosedDay
        fields = ["day", "name"]
        field_classes = {"day": NearDate}
        widgets = {"day": DateInput(), "name": forms.TextInput(attrs={"autocomplete": "off"})}
        labels = {"day": _("Day"), "name": _("Why closed")}
        error_messages = {
            "day": {
                "required": _("Enter the day."),
                "invalid": _("Enter the day as year-month-day, for example 2026-12-25."),
            },
            "name": {"required": _("Say why the clinic is closed.")},
        }

    def clean_day(self) -> datetime.date:
        day = self.cleaned_data["day"]
        if day < timezone.localdate():
            raise forms.ValidationError(_("This day is over. Check the year."))
        if ClosedDay.objects.of(self.instance.clinic).between(day, day).exists():
            raise forms.ValidationError(_("This day is on the list already."))
        return day
