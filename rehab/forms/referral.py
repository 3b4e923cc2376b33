"""What is chosen and typed for a referral letter; it is kept with the printed sheet and nowhere else."""

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from cases.clinical.referral import ANSWER_US, REFERRALS, Addressee, Urgency
from cases.models import ScreeningAnswer
from clinic.templatetags.clinic_tags import say
from rehab.printing.referral_letter import Asked

ADDRESS_LINES = 6


class ReferralForm(forms.Form):
    """A letter about one answer, filled in with what its question proposes."""

    to = forms.ChoiceField(label=_("For whom"), choices=Addressee.choices())
    address = forms.CharField(
        label=_("Name and address"),
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("Where they are known; the patient may also choose where to go."),
    )
    urgency = forms.ChoiceField(
        label=_("How fast"), choices=Urgency.choices(), widget=forms.RadioSelect
    )
    ask = forms.CharField(
        label=_("What is asked"),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _("Write what is asked.")},
    )
    remark = forms.CharField(
        label=_("Remark"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_(
            "What else the doctor should know. The patient reads it too; name no diagnosis."
        ),
    )

    def __init__(self, *args, answer: ScreeningAnswer, **kwargs):
        self.proposed = REFERRALS[answer.question]
        super().__init__(*args, initial=self._proposal(), **kwargs)
        for name in ("to", "urgency"):
            self.fields[name].choices = [
                (value, capfirst(say(label))) for value, label in self.fields[name].choices
            ]

    def _proposal(self) -> dict[str, str]:
        asks = f"{say(self.proposed.ask)} {say(ANSWER_US)}"
        return {"to": self.proposed.to, "urgency": self.proposed.urgency, "ask": asks}

    def clean_address(self) -> str:
        lines = self.cleaned_data["address"].splitlines()
        if len(lines) > ADDRESS_LINES:
            raise forms.ValidationError(
                _("Keep it to %(lines)s lines."), params={"lines": ADDRESS_LINES}
            )
        return self.cleaned_data["address"]

    def clean(self) -> dict[str, str]:
        cleaned = super().clean()
        urgency, prescribed = cleaned.get("urgency"), self.proposed.urgency
        if urgency and Urgency(urgency).is_slower_than(prescribed) and not cleaned.get("remark"):
            text = _("The screening proposes “%(proposed)s”. Say here why it can wait.")
            self.add_error("remark", text % {"proposed": say(prescribed.label)})
        return cleaned

    def asked(self) -> Asked:
        """The checked fields, as the letter takes them."""
        typed = self.cleaned_data
        return Asked(
            to=Addressee(typed["to"]).label,
            address=typed["address"],
            urgency=Urgency(typed["urgency"]),
            ask=typed["ask"],
            remark=typed["remark"],
        )
