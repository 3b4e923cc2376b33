"""A member of staff: who it is, what they do, and what that lets them do."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from clinic.models import Staff
from clinic.roles import Role

FIELDS = ["first_name", "last_name", "email", "role", "treats", "registration_number"]
LABELS = {
    "first_name": _("Given name"),
    "last_name": _("Family name"),
    "email": _("E-mail"),
    "role": _("Role"),
    "treats": _("Sees patients"),
    "registration_number": _("Registration number"),
}
HINTS = {
    "email": _(
        "For a link to choose a new password, and for news of the account; for nothing else."
    ),
    "treats": _(
        "A physiotherapist always does. A manager who does may write clinical records and be booked."
    ),
    "registration_number": _("Printed beside the signature of a visit."),
}
ERRORS = {
    "role": {"required": _("Choose a role.")},
    "email": {"invalid": _("Enter the e-mail address in full, for example ida@example.org.")},
}


class RoleFields(forms.BaseForm):
    """What roles and seeing patients have to do with each other, for a form that has both fields."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["last_name"].required = True
        self.fields["last_name"].error_messages["required"] = _("Enter the family name.")
        # Without the line of dashes that stands for no choice.
        self.fields["role"].choices = Staff.RoleChoice.choices
        # The browser would offer its owner's own.
        for name in ("first_name", "last_name", "email", "registration_number"):
            self.fields[name].widget.attrs["autocomplete"] = "off"

    def clean(self):
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("role") == Role.PHYSIOTHERAPIST:
            cleaned["treats"] = True
        return cleaned


class StaffForm(RoleFields, StampedModelForm):
    """Changes what the clinic knows of somebody; the name for signing in stays."""

    class Meta:
        model = Staff
        fields = FIELDS
        labels, help_texts, error_messages = LABELS, HINTS, ERRORS
        widgets = {"role": forms.RadioSelect}

    def clean_role(self) -> str:
        role = self.cleaned_data["role"]
        # `instance` still says what is on record: the form writes into it after all fields are clean.
        if role != Role.MANAGER and self.instance.is_last_manager:
            raise forms.ValidationError(
                _("Nobody else manages the clinic. Make somebody else a manager first.")
            )
        return role
