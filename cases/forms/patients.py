"""Who the person is and how to reach them."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from clinic.forms import DateInput, StampedModelForm, check_phone
from clinic.models import Clinic

EARLIEST_YEAR = 1900


class PatientForm(StampedModelForm):
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
            "language",
            "print_size",
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
            "language": _("Language of the printed pages"),
            "print_size": _("Print size"),
        }
        help_texts = {
            "handedness": _("The hand that writes and works; grip is compared with it in mind."),
            "phone": _("Called when the person is due and not booked."),
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
        for name in (
            "sex",
            "handedness",
        ):  # nothing is chosen for the person, and nothing can be unchosen
            self.fields[name].choices = [c for c in self.fields[name].choices if c[0]]

    def clean_born(self):
        born = self.cleaned_data["born"]
        if born > timezone.localdate():
            raise forms.ValidationError(_("The birth date is in the future. Check the year."))
        if born.year < EARLIEST_YEAR:
            raise forms.ValidationError(_("Enter a birth date after 1900. Check the year."))
        return born

    def look_alikes(self, clinic: Clinic) -> list[Patient]:
        """Records that may be this person's already."""
        typed = {name: self.cleaned_data[name] for name in ("given_name", "family_name", "born")}
        return Patient.objects.of(clinic).likely(**typed)
