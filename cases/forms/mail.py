"""The clinic's own words for an e-mail."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from cases.mail_words import Occasion, faults, needed_in
from cases.models import MailText
from clinic.forms import StampedModelForm
from clinic.templatetags.clinic_tags import say


class MailTextForm(StampedModelForm):
    class Meta:
        model = MailText
        fields = ["subject", "body"]
        widgets = {
            "subject": forms.TextInput(attrs={"autocomplete": "off"}),
            "body": forms.Textarea(attrs={"rows": 14, "autocomplete": "off"}),
        }
        labels = {"subject": _("Subject"), "body": _("Text")}
        help_texts = {
            "subject": _(
                "It is shown on a locked phone too: nothing that only the patient may read."
            ),
            "body": _("Plain text. A name in braces is filled in for each patient."),
        }
        error_messages = {
            "subject": {"required": _("Enter a subject.")},
            "body": {"required": _("Enter the text.")},
        }

    def clean_subject(self) -> str:
        return self._sound(self.cleaned_data["subject"])

    def clean_body(self) -> str:
        text = self.cleaned_data["body"].replace("\r\n", "\n")
        return self._sound(text, needed=needed_in(Occasion(self.instance.occasion)))

    def _sound(self, text: str, needed: tuple[str, ...] = ()) -> str:
        if found := faults(text, Occasion(self.instance.occasion), needed=needed):
            raise ValidationError([say(fault) for fault in found])
        return text
