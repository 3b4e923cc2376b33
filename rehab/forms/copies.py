"""For whom a copy of a record is made, and why."""

from django import forms
from django.utils.translation import gettext_lazy as _

from rehab.models import RecordCopy


class RecordCopyForm(forms.ModelForm):
    class Meta:
        model = RecordCopy
        fields = ["receiver", "to_whom", "why"]
        widgets = {
            "receiver": forms.RadioSelect,
            "to_whom": forms.TextInput(attrs={"autocomplete": "off"}),
            "why": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        labels = {
            "receiver": _("Who gets the copy"),
            "to_whom": _("Name and address"),
            "why": _("Why"),
        }
        help_texts = {
            "to_whom": _("Not needed where the patient gets it."),
            "why": _("For example: asked for by the patient on 12 March, by letter."),
        }
        error_messages = {
            "receiver": dict.fromkeys(
                ("required", "invalid_choice"), _("Choose who gets the copy.")
            ),
            "why": {"required": _("Write why the copy is made.")},
        }

    def __init__(self, *args, restricted: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.restricted = restricted
        self.fields["receiver"].choices = RecordCopy.Receiver.choices

    def clean(self):
        cleaned = super().clean()
        stranger = cleaned.get("receiver") not in (None, RecordCopy.Receiver.PATIENT)
        if stranger and not cleaned.get("to_whom") and "to_whom" not in self.errors:
            self.add_error("to_whom", _("Write who gets it, with the address."))
        own = (RecordCopy.Receiver.PATIENT, RecordCopy.Receiver.ACTS_FOR)
        if self.restricted and cleaned.get("receiver") not in (None, *own):
            self.add_error(
                "receiver", _("The record is restricted: the patient alone gets a copy.")
            )
        return cleaned
