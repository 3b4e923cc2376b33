"""A day on which the clinic is closed, as its manager types it."""

import datetime

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.forms import DateInput
from clinic.models import ClosedDay

FURTHEST = datetime.timedelta(days=3 * 366)  # a later one is a slip of the keyboard


class ClosedDayForm(forms.ModelForm):
    """Closes a day of `instance.clinic`. The view holds the clinic's row, so that no day is closed twice."""

    class Meta:
        model = ClosedDay
        fields = ["day", "name"]
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
        day, today = self.cleaned_data["day"], timezone.localdate()
        if day < today:
            raise forms.ValidationError(_("This day is over. Check the year."))
        if day > today + FURTHEST:
            raise forms.ValidationError(_("This is more than three years ahead. Check the year."))
        if ClosedDay.objects.of(self.instance.clinic).between(day, day).exists():
            raise forms.ValidationError(_("This day is on the list already."))
        return day
