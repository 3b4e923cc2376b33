"""Choosing a password: what is asked, and what is said when it will not do."""

from django import forms
from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.auth.forms import PasswordChangeForm, SetPasswordForm
from django.http import HttpRequest
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from clinic.models import Staff

HINT = format_lazy(
    _("At least {length} characters; spaces count. More than your name or the clinic's."),
    length=settings.PASSWORD_LENGTH,
)


class ChoosePasswordForm(SetPasswordForm):
    """A new password, twice. Pasting is meant to work: password managers do it."""

    error_messages = {"password_mismatch": _("The two don't match. Type the new one twice.")}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        first, again = self.fields["new_password1"], self.fields["new_password2"]
        first.label, again.label = _("New password"), _("The new one once more")
        first.help_text, again.help_text = HINT, ""
        first.error_messages["required"] = _("Enter a new password.")
        again.error_messages["required"] = _("Type the new password once more.")

    def validate_password_for_user(self, user: Staff, password_field_name: str) -> None:
        """Say what is wrong with it where it was chosen, not where it was typed once more."""
        super().validate_password_for_user(user, "new_password1")


class ChangePasswordForm(ChoosePasswordForm, PasswordChangeForm):
    """The same for somebody signed in, who proves it with the password of today."""

    error_messages = PasswordChangeForm.error_messages | {
        **ChoosePasswordForm.error_messages,
        "password_incorrect": _("This isn't your password of today."),
    }
    field_order = ["old_password", "new_password1", "new_password2"]

    def __init__(self, request: HttpRequest):
        super().__init__(request.user, request.POST or None)
        self.request = request
        old = self.fields["old_password"]
        old.label = _("Current password")
        old.error_messages["required"] = _("Enter your password of today.")

    def clean_old_password(self) -> str:
        """A wrong one counts as at the front door: whoever sits down at an open page can't go on guessing."""
        old = self.cleaned_data["old_password"]
        if authenticate(self.request, username=self.user.get_username(), password=old) is None:
            raise forms.ValidationError(
                self.error_messages["password_incorrect"], code="password_incorrect"
            )
        return old


class ForgottenForm(forms.Form):
    """Where the link shall go; whether anybody has this address is not said."""

    email = forms.EmailField(
        label=_("Your e-mail address"),
        help_text=_("The one that the clinic has for you."),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "email", "autofocus": True}),
        error_messages={
            "required": _("Enter your e-mail address."),
            "invalid": _("Enter the e-mail address in full, for example ida@example.org."),
        },
    )
