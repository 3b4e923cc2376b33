"""Which cases are exported."""

import datetime

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clinic.forms import DateInput
from clinic.models import Clinic
from rehab.models import CaseExport


class CaseExportForm(forms.ModelForm):
    class Meta:
        model = CaseExport
        fields = ["which", "since", "until"]
        widgets = {"which": forms.RadioSelect, "since": DateInput(), "until": DateInput()}
        labels = {"which": _("Which cases"), "since": _("Opened from"), "until": _("Opened until")}
        help_texts = {"since": _("Empty: from the first."), "until": _("Empty: to the newest.")}

    def __init__(self, *args, clinic: Clinic, **kwargs):
        super().__init__(*args, **kwargs)
        self.clinic = clinic
        self.numbers: list[int] = []
        self.fields["which"].choices = CaseExport.Which.choices

    def clean_until(self) -> datetime.date | None:
        until, since = self.cleaned_data["until"], self.cleaned_data.get("since")
        if until and since and until < since:
            raise ValidationError(_("The last day is before the first."))
        return until

    def clean(self):
        cleaned = super().clean()
        if not self.errors:
            self.numbers = CaseExport.numbers(self.clinic, **cleaned)
            if not self.numbers:
                self.add_error("which", _("No case fits. Choose others, or other days."))
        return cleaned
