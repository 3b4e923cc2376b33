"""What is typed about the second factor: a code, a code from paper, the password before a change."""

import datetime

from django import forms
from django.contrib.auth import authenticate
from django.http import HttpRequest
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from clinic.models import SecondFactor
from clinic.models.second_factor import Answer
from clinic.templatetags.clinic_tags import clock


class CodeInput(forms.TextInput):
    """A code that was not taken is good for nothing: the field comes back empty."""

    def format_value(self, value) -> None:
        return None


class CodeForm(forms.Form):
    """Six digits of the app. Each try is counted, so a form is checked once."""

    code = forms.CharField(
        label=_("Code of the app"),
        max_length=20,
        help_text=_("Six digits; the app shows new ones every half minute."),
        error_messages={"required": _("Enter the six digits that the app shows.")},
        widget=CodeInput(
            attrs={"autocomplete": "one-time-code", "inputmode": "numeric", "autofocus": True}
        ),
    )
    wrong = _(
        "This isn't the code that the app shows now. Each code is good once; wait for the next."
    )

    def __init__(self, *args, factor: SecondFactor, now: datetime.datetime, **kwargs):
        super().__init__(*args, **kwargs)
        self.factor, self.now = factor, now

    def _try(self, code: str) -> Answer:
        return self.factor.try_code("".join(code.split()), now=self.now)

    def clean_code(self) -> str:
        code = self.cleaned_data["code"]
        answer = self._try(code)
        if answer == Answer.WRONG:
            raise forms.ValidationError(self.wrong, code="wrong")
        if answer == Answer.WAIT:
            told = gettext("Too many wrong codes. The next is taken from %(time)s on.")
            told = told % {"time": clock(self.factor.wait_until)}
            raise forms.ValidationError(told, code="wait")
        return code


class RecoveryForm(CodeForm):
    code = forms.CharField(
        label=_("Recovery code"),
        max_length=20,
        help_text=_("One of the ten that you kept on paper, for example K7QFM-2XDPA."),
        error_messages={"required": _("Enter one of your recovery codes.")},
        widget=CodeInput(attrs={"autocomplete": "off", "autofocus": True}),
    )
    wrong = _("This isn't one of your recovery codes, or it has been used.")

    def _try(self, code: str) -> Answer:
        return self.factor.try_recovery_code(code, now=self.now)


class PasswordForm(forms.Form):
    """Whoever changes how one signs in proves to be the owner, not somebody at an open page."""

    password = forms.CharField(
        label=_("Your password"),
        strip=False,
        error_messages={"required": _("Enter your password.")},
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, request: HttpRequest, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.request = request

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        name = self.request.user.get_username()
        if authenticate(self.request, username=name, password=password) != self.request.user:
            raise forms.ValidationError(_("This isn't your password."), code="wrong")
        return password
