"""What came of a call."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Contact
from clinic.forms import WRONG_DAY, DateInput


class ContactForm(forms.ModelForm):
    class Meta:
        model = Contact
        fields = ["outcome", "note", "again_on"]
        widgets = {"outcome": forms.RadioSelect, "again_on": DateInput()}
        help_texts = {"note": _("A few words, nothing clinical: the whole clinic can read them.")}
        error_messages = {
            "outcome": dict.fromkeys(
                ("required", "invalid_choice"), _("Choose what came of the call.")
            ),
            "again_on": {"invalid": WRONG_DAY},
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["outcome"].choices = Contact.Outcome.choices

    def clean(self):
        if not self.instance.case.is_open:
            raise forms.ValidationError(_("The case is closed: there is nobody to call."))
        return super().clean()

    def clean_again_on(self):
        day = self.cleaned_data["again_on"]
        if day and day < timezone.localdate():
            raise forms.ValidationError(_("Choose today or a day to come."))
        return day
