"""Who the person is and how to reach them."""

import datetime

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from cases.suits import PartTicks, WeekdayTicks
from clinic.forms import DateInput, StampedModelForm, check_phone
from clinic.models import Clinic, Staff

EARLIEST_YEAR = 1900


class PatientForm(StampedModelForm):
    suits_weekdays = WeekdayTicks(
        help_text=_("Free times that suit are offered first. With nothing ticked, any is as good.")
    )
    suits_parts = PartTicks()

    class Meta:
        model = Patient
        fields = [
            "given_name",
            "family_name",
            "born",
            "sex",
            "handedness",
            "phone",
            "email",
            "mail_agreed",
            "language",
            "print_size",
            "suits_weekdays",
            "suits_parts",
        ]
        widgets = {
            "born": DateInput(),
            "sex": forms.RadioSelect,
            "handedness": forms.RadioSelect,
            "language": forms.RadioSelect,
            "print_size": forms.RadioSelect,
            "phone": forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
        }
        labels = {
            "given_name": _("Given name"),
            "family_name": _("Family name"),
            "born": _("Born"),
            "sex": _("Sex for reference values"),
            "handedness": _("Handedness"),
            "phone": _("Phone"),
            "email": _("E-mail"),
            "mail_agreed": _("Agrees to e-mail about appointments"),
            "language": _("Language of paper and e-mail"),
            "print_size": _("Print size"),
        }
        help_texts = {
            "handedness": _("The hand that writes and works; grip is compared with it in mind."),
            "phone": _("Called when the person is due and not booked."),
            "mail_agreed": _(
                "Ask first; nobody is written to who was not asked. E-mail says when, where and with whom, "
                "nothing about the elbow. They can take it back any day."
            ),
        }
        error_messages = {
            "given_name": {"required": _("Enter the given name.")},
            "family_name": {"required": _("Enter the family name.")},
            "born": {
                "required": _("Enter the birth date."),
                "invalid": _("Enter the birth date as year-month-day, for example 1981-05-04."),
            },
            "sex": {"required": _("Choose one; “not stated” is an answer too.")},
            "handedness": {"required": _("Choose the hand that writes and works.")},
            "email": {
                "invalid": _("Enter the e-mail address in full, for example marit@example.org.")
            },
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["phone"].validators.append(check_phone)
        # Nothing is chosen for the person, and nothing can be unchosen.
        for name in ("sex", "handedness"):
            self.fields[name].choices = [c for c in self.fields[name].choices if c[0]]
        if self.instance.handedness != Patient.Handedness.UNSTATED:
            self.fields["handedness"].choices = self.fields["handedness"].choices[:-1]

    def clean_born(self):
        born = self.cleaned_data["born"]
        if born > timezone.localdate():
            raise forms.ValidationError(_("The birth date is in the future. Check the year."))
        if born.year < EARLIEST_YEAR:
            raise forms.ValidationError(_("Enter a birth date after 1900. Check the year."))
        return born

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("mail_agreed") and cleaned.get("email") == "":
            self.add_error(
                "email", _("Enter the address that the e-mail goes to, or take the tick away.")
            )
        return cleaned

    @property
    def answers_about_mail(self) -> bool:
        """Whether the person has said something new about e-mail."""
        return "mail_agreed" in self.changed_data

    def settle_mail(self, *, by: Staff, on: datetime.date) -> None:
        """Before saving: a new answer gets its date and name, another address may be tried again."""
        if self.answers_about_mail:
            self.instance.answer_about_mail(by=by, on=on)
        if "email" in self.changed_data:
            self.instance.mail_refused_at = None

    def look_alikes(self, clinic: Clinic) -> list[Patient]:
        """Records that may be this person's already."""
        typed = {name: self.cleaned_data[name] for name in ("given_name", "family_name", "born")}
        return Patient.objects.of(clinic).likely(**typed)
