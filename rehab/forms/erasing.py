"""What is asked before a record is erased, kept on hold, or kept against the patient's wish."""

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import ErasureRefusal, Hold, Patient
from clinic.forms import DateInput
from rehab.forms.asked import WRONG_ASKED_ON, AskedForm


class EraseForm(forms.Form):
    """The record number typed once more: nobody erases by a slip of the hand."""

    record = forms.CharField(
        label=_("Record number, to be sure"),
        max_length=12,
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "numeric"}),
        error_messages={"required": _("Type the record number.")},
    )

    def __init__(self, *args, patient: Patient, **kwargs):
        super().__init__(*args, **kwargs)
        self.patient = patient

    def clean_record(self) -> str:
        typed = self.cleaned_data["record"].strip()
        if typed.lstrip("0") != str(self.patient.record_number):
            raise forms.ValidationError(_("This is not the number of the record."))
        return typed


class HoldForm(forms.ModelForm):
    class Meta:
        model = Hold
        fields = ["reason"]
        widgets = {"reason": forms.TextInput(attrs={"autocomplete": "off"})}
        labels = {"reason": _("Why it must not go")}
        help_texts = {"reason": _("For example: a claim was announced on 12 March.")}
        error_messages = {"reason": {"required": _("Write why the record must not go.")}}


class RefusalForm(AskedForm):
    class Meta:
        model = ErasureRefusal
        fields = ["asked_on", "reason"]
        widgets = {"asked_on": DateInput(), "reason": forms.Textarea(attrs={"rows": 3})}
        labels = {"asked_on": _("Asked on"), "reason": _("Reason, as told to the patient")}
        error_messages = {
            "asked_on": WRONG_ASKED_ON,
            "reason": {"required": _("Write what the patient is told.")},
        }
