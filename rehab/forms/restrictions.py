"""Restricting a record, and why a restricted one is read."""

from django import forms
from django.db import models
from django.utils.translation import gettext_lazy as _

from cases.models import Restriction
from clinic.forms import WRONG_DAY, DateInput


class Ground(models.TextChoices):
    """For what a restricted record may be used beside being kept; GDPR Art. 18(2), from memory."""

    AGREED = "agreed", _("the patient agrees")
    CLAIM = "claim", _("a legal claim asks for it")
    PROTECTS = "protects", _("it protects the patient or somebody else")


class RestrictionForm(forms.ModelForm):
    class Meta:
        model = Restriction
        fields = ["since", "until", "reason"]
        widgets = {
            "since": DateInput(),
            "until": DateInput(),
            "reason": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        labels = {"since": _("From"), "until": _("Until"), "reason": _("Why")}
        help_texts = {
            "until": _("Empty where the end is not known."),
            "reason": _(
                "For example: the patient says that the record is wrong, and it is looked into."
            ),
        }
        error_messages = {
            "since": {"required": _("Enter the day."), "invalid": WRONG_DAY},
            "until": {"invalid": WRONG_DAY},
            "reason": {"required": _("Write why the record is restricted.")},
        }


class ReadingForm(forms.Form):
    ground = forms.ChoiceField(
        label=_("Why do you read it?"),
        choices=Ground.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose the reason.")},
    )
