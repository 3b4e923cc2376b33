"""Inviting somebody onto the staff, and what the invited person chooses."""

from django import forms
from django.conf import settings
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.utils.translation import gettext_lazy as _

from clinic.models import Invitation, Staff
from clinic.password_forms import ChoosePasswordForm
from clinic.staff_form import ERRORS, FIELDS, HINTS, LABELS, RoleFields

LONGEST_NAME = Staff._meta.get_field("username").max_length


class InvitationForm(RoleFields, forms.ModelForm):
    """Whom the link is for, and what they will do here."""

    send = forms.BooleanField(label=_("Send the link by e-mail"), required=False)

    class Meta:
        model = Invitation
        fields = FIELDS
        labels, help_texts, error_messages = LABELS, HINTS, ERRORS
        widgets = {"role": forms.RadioSelect}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not settings.SENDS_EMAIL:
            del self.fields["send"]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("send") and not cleaned.get("email") and "email" not in self.errors:
            self.add_error("email", _("Enter the address that the link is sent to."))
        return cleaned


class JoinForm(ChoosePasswordForm):
    """The name for signing in and the password of somebody who was invited."""

    username = forms.CharField(
        label=_("Your name for signing in"),
        help_text=_("Letters, digits and . @ + - _ without spaces. It can't be changed later."),
        max_length=LONGEST_NAME,
        validators=[UnicodeUsernameValidator()],
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "autofocus": True}
        ),
        error_messages={"required": _("Enter a name for signing in.")},
    )
    field_order = ["username", "new_password1", "new_password2"]

    def __init__(self, invitation: Invitation, *args, **kwargs):
        super().__init__(invitation.as_staff(), *args, **kwargs)

    def clean_username(self) -> str:
        username = Staff.normalize_username(self.cleaned_data["username"])
        # Two names that differ in capitals alone are taken for each other.
        if Staff.objects.filter(username__iexact=username).exists():
            raise forms.ValidationError(_("This name is taken. Choose another."))
        # The password is held against it next.
        self.user.username = username
        return username
