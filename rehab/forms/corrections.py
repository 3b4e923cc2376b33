"""A request for correction as it is written down, and its answer."""

import datetime

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import Addendum, CorrectionRequest
from clinic.forms import DateInput
from clinic.templatetags.clinic_tags import written
from rehab.forms.asked import WRONG_ASKED_ON, AskedForm


class CorrectionForm(AskedForm):
    class Meta:
        model = CorrectionRequest
        fields = ["asked_on", "what"]
        widgets = {"asked_on": DateInput(), "what": forms.Textarea(attrs={"rows": 4})}
        labels = {"asked_on": _("Asked on"), "what": _("What is to be corrected")}
        help_texts = {"what": _("In the patient's words: what is wrong, and how it should read.")}
        error_messages = {
            "asked_on": WRONG_ASKED_ON,
            "what": {"required": _("Write what is to be corrected.")},
        }

    def save_for(self, days: int) -> CorrectionRequest:
        """Keep the request, with the day by which it is to be answered."""
        self.instance.due_on = self.instance.asked_on + datetime.timedelta(days=days)
        return self.save()


class AddendumChoice(forms.ModelChoiceField):
    def label_from_instance(self, addendum: Addendum) -> str:
        day, visit = written(addendum.written_at), written(addendum.visit.on)
        return _("of %(day)s, to the visit of %(visit)s") % {"day": day, "visit": visit}


class AnswerForm(forms.Form):
    answer = forms.ChoiceField(
        label=_("Answer"),
        choices=CorrectionRequest.Answer.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose the answer.")},
    )
    addendum = AddendumChoice(
        label=_("The addendum that it came to"),
        queryset=Addendum.objects.none(),
        required=False,
        empty_label=_("none"),
    )
    because = forms.CharField(
        label=_("What the patient is told"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        required=False,
        help_text=_("Needed where it is refused, and where no addendum was written."),
    )

    def __init__(self, *args, addenda, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["addendum"].queryset = addenda

    def clean(self):
        cleaned = super().clean()
        answer, because = cleaned.get("answer"), cleaned.get("because")
        if answer == CorrectionRequest.Answer.REFUSED and not because:
            self.add_error("because", _("Write why it is refused."))
        if answer == CorrectionRequest.Answer.GRANTED and not (because or cleaned.get("addendum")):
            self.add_error("because", _("Choose the addendum, or write where it was corrected."))
        return cleaned
