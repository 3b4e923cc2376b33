"""One episode at one elbow, as it is opened and closed."""

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import Case, Patient
from clinic.forms import DateInput
from clinic.models import Staff


class CaseForm(forms.ModelForm):
    """Opens a case on the day `instance.opened`.

    The view holds the patient's row, so that two people can't open a case of one elbow at once.
    """

    class Meta:
        model = Case
        fields = ["side", "onset", "lead"]
        widgets = {"side": forms.RadioSelect, "onset": DateInput()}
        labels = {
            "side": _("Affected elbow"),
            "onset": _("Complaint began on"),
            "lead": _("Led by"),
        }
        error_messages = {
            "side": {"required": _("Choose the elbow.")},
            "onset": {
                "required": _("Enter the day it began, or the best guess."),
                "invalid": _("Enter the day as year-month-day, for example 2026-01-10."),
            },
            "lead": {
                "required": _("Choose who leads the case."),
                "invalid_choice": _("Choose a practitioner of this clinic."),
            },
        }

    def __init__(self, *args, patient: Patient, **kwargs):
        super().__init__(*args, **kwargs)
        self.instance.patient = patient
        self.fields["side"].choices = [c for c in self.fields["side"].choices if c[0]]
        self.fields["lead"].queryset = Staff.objects.of(patient.clinic).who_treat()
        self.fields["lead"].empty_label = _("choose")

    def clean_side(self):
        side = self.cleaned_data["side"]
        if self.instance.patient.cases.open().at(side).exists():
            raise forms.ValidationError(_("This elbow has an open case already."))
        return side

    def clean_onset(self):
        onset = self.cleaned_data["onset"]
        if onset > self.instance.opened:
            raise forms.ValidationError(_("The complaint can't begin after today. Check the date."))
        if onset < self.instance.patient.born:
            raise forms.ValidationError(_("The complaint can't begin before the person was born."))
        return onset


class CloseForm(forms.Form):
    """Ends a case, with the reason that stays in the record."""

    status = forms.ChoiceField(
        label=_("How it ends"),
        widget=forms.RadioSelect,
        choices=[c for c in Case.Status.choices if c[0] != Case.Status.OPEN],
        error_messages={"required": _("Choose how the case ends.")},
    )
    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("Front desk can read it; nothing clinical."),
        error_messages={"required": _("Say why the case ends.")},
    )
