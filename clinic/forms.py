"""What the forms of all packages share: a form that knows what it was opened with."""

import datetime
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.core.validators import RegexValidator
from django.forms.models import model_to_dict
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from clinic.slots import moments
from clinic.templatetags.clinic_tags import clock as clock_time
from clinic.templatetags.clinic_tags import written

check_phone = RegexValidator(
    r"^\+?[\d ()./-]{5,}$", _("Enter the phone number in digits, for example +44 1632 960100.")
)


def stamp(values: Mapping[str, object]) -> str:
    """Return a short mark that changes when any of the values does."""
    text = json.dumps(values, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _or_blank(value: object) -> object:
    """Nothing and an empty text are the same; 0 is an answer."""
    return "" if value is None else value


@dataclass(frozen=True)
class Conflict:
    """One field that somebody else has changed meanwhile: what is on record, and what was typed here."""

    label: str
    theirs: object
    mine: object


class Stamped(forms.BaseForm):
    """A form that carries what it was opened with.

    A save that comes too late overwrites nothing: the form is refused once, shows both versions in
    `conflicts`, and is then stamped anew, so that sending it again is a choice. Subclasses say in `stored()`
    what is on record; the view locks the row that it reads this from.
    """

    saves_itself = False
    stale = _("Somebody else has saved this meanwhile. Compare, then save again.")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["opened_with"] = forms.CharField(widget=forms.HiddenInput, required=False)
        self.on_record = self.stored()
        self.now = stamp(self.on_record)
        self.initial["opened_with"] = self.now
        if self.saves_itself:
            self.fields["compared"] = forms.CharField(widget=forms.HiddenInput, required=False)
        self.conflicts: list[Conflict] = []

    def stored(self) -> dict[str, object]:
        """What the database holds for this form's fields, by field name; empty before the first save."""
        raise NotImplementedError

    def clean(self):
        cleaned = super().clean() or self.cleaned_data
        if self.on_record and not self._knows_record(cleaned):
            self.conflicts = list(self._conflicts(cleaned))
        self._put(compared=self.now if self.conflicts else "")
        if not (self.saves_itself and self.conflicts):
            # From here on the form speaks of what is on record now.
            self._put(opened_with=self.now)
        if self.conflicts:
            raise forms.ValidationError(self.stale, code="stale")
        return cleaned

    def _knows_record(self, cleaned) -> bool:
        chose = "done" in self.data and cleaned.get("compared") == self.now
        return chose or cleaned.get("opened_with") == self.now

    def _put(self, **values) -> None:
        self.data = self.data.copy()
        for name, value in values.items():
            self.data[self.add_prefix(name)] = value

    def _conflicts(self, cleaned):
        for name, theirs in self.on_record.items():
            mine = cleaned.get(name, theirs)
            if _or_blank(mine) != _or_blank(theirs) and name in self.fields:
                yield Conflict(self.fields[name].label or name, theirs, mine)

    def restamp(self) -> None:
        """After a save that keeps the page open: the form was now opened with what it has just stored."""
        self.on_record = self.stored()
        self.now = stamp(self.on_record)
        self._put(opened_with=self.now)


class StampedModelForm(Stamped, forms.ModelForm):
    """A stamped form over one row."""

    def stored(self) -> dict[str, object]:
        return model_to_dict(self.instance, fields=self._meta.fields) if self.instance.pk else {}

    def changes(self) -> list[str]:
        """The names of the fields that a save would change."""
        typed = self.cleaned_data
        return sorted(name for name, was in self.on_record.items() if typed[name] != was)


class NearDate(forms.DateField):
    """A day within three years of today; one further off is a slip of the keyboard."""

    furthest = datetime.timedelta(days=3 * 366)

    def validate(self, value) -> None:
        super().validate(value)
        if value and abs(value - timezone.localdate()) > self.furthest:
            raise forms.ValidationError(_("This is more than three years off. Check the year."))


def not_one_moment(day: datetime.date, clock: datetime.time, zone: datetime.tzinfo) -> str:
    """Say why a time of the wall clock names no single moment: it is skipped, or it comes twice."""
    told = {"day": written(day), "time": clock_time(clock)}
    if moments(day, clock, zone):
        return (
            gettext("The clocks go back on %(day)s and %(time)s comes twice. Choose another.")
            % told
        )
    return (
        gettext("The clocks go forward on %(day)s and %(time)s is skipped. Choose another.") % told
    )


WRONG_DAY = _("Enter the day as year-month-day, for example 2026-03-12.")
WRONG_TIME = _("Enter the time as hours and minutes, for example 09:30.")


class DateInput(forms.DateInput):
    """A date in the browser's own picker, which shows it in the reader's order."""

    input_type = "date"

    def __init__(self, **attrs):
        super().__init__(attrs=attrs, format="%Y-%m-%d")


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self, **attrs):
        super().__init__(attrs=attrs, format="%H:%M")


class SignInForm(AuthenticationForm):
    """Name and password; which of the two was wrong is not said."""

    error_messages = {
        "invalid_login": _(
            "This name and password don't belong together. Capital letters count in both."
        ),
        "inactive": _("This account is closed. Ask your clinic's manager."),
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Your name for signing in")
        self.fields["username"].error_messages["required"] = _("Enter your name for signing in.")
        self.fields["password"].error_messages["required"] = _("Enter your password.")

    def get_invalid_login_error(self):
        return forms.ValidationError({"password": super().get_invalid_login_error()})
