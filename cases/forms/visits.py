"""What is typed into a visit, and what is added after it was signed."""

import datetime
from functools import cached_property

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.models import Addendum, Visit
from clinic.forms import DateInput, StampedModelForm
from clinic.templatetags.clinic_tags import written

# The clinic's own habit, no source: further off than this, the year is more often a slip than a wish.
FAR_OFF = datetime.timedelta(weeks=12)


class NotesForm(StampedModelForm):
    """The notes of a draft visit; it saves itself while it is typed."""

    saves_itself = True

    minutes = forms.IntegerField(
        label=_("Time spent, min"),
        required=False,
        min_value=1,
        max_value=240,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 4}),
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"),
            _("Enter the time spent in whole minutes, 1–240."),
        ),
    )

    date_is_right = forms.BooleanField(label=_("The date is right"), required=False)

    class Meta:
        model = Visit
        fields = [
            "on", "minutes",
            "subjective", "objective", "assessment", "treatment", "plan",
            "due_on",
        ]  # fmt: skip
        widgets = {
            "on": DateInput(),
            "due_on": DateInput(),
            **{
                name: forms.Textarea(attrs={"rows": 3})
                for name in ("subjective", "objective", "assessment", "treatment", "plan")
            },
        }
        help_texts = {
            "subjective": _("What the patient tells."),
            "objective": _("What was seen and found, beyond the measures."),
            "assessment": _("What it adds up to, in your words."),
            "plan": _("What comes next, and what the patient agreed to."),
        }
        error_messages = {"on": {"required": _("Enter the day of the visit.")}}

    def __init__(self, *args, today: datetime.date, **kwargs):
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_on(self) -> datetime.date:
        on, opened = self.cleaned_data["on"], self.instance.case.opened
        if on > self.today:
            raise forms.ValidationError(
                _("A visit can't be in the future. Enter today or earlier.")
            )
        if on < opened:
            raise forms.ValidationError(
                _("The case was opened on %(day)s. Enter that day or a later one."),
                params={"day": written(opened)},
            )
        return on

    def clean(self):
        cleaned = super().clean()
        on, due = cleaned.get("on"), cleaned.get("due_on")
        if on and due and due < on:
            self.add_error("due_on", _("Enter a day that is not before the visit."))
        if self.asks_about_date and not cleaned.get("date_is_right"):
            text = _(
                "A visit of %(day)s is signed already. Change the date, or tick that it is right."
            )
            self.add_error("on", text % {"day": written(self._later.on)})
        return cleaned

    @property
    def asks_about_date(self) -> bool:
        """Whether the date was set to a day before a visit that is signed: a day left out, or a slip."""
        return self.is_bound and self._later is not None

    @cached_property
    def _later(self) -> Visit | None:
        on = self.cleaned_data.get("on")
        if on is None or on == self.on_record.get("on"):
            return None
        return Visit.objects.signed_after(self.instance, on).newest_first().last()

    @property
    def due_is_far_off(self) -> bool:
        due, on = self.instance.due_on, self.instance.on
        return bool(due and due - on > FAR_OFF)

    @property
    def may_be_kept(self) -> bool:
        """Whether something can be saved: one wrong date must not hold the notes back."""
        return not self.non_field_errors()

    def keep(self) -> list[str]:
        """Save the fields that are right and say which those are that changed."""
        right = [name for name in self._meta.fields if name in self.cleaned_data]
        self.instance.save(update_fields=[*right, "saved_at"])
        changed = [name for name in right if name in self.changed_data]
        self.restamp()
        return changed


class AddendumForm(forms.ModelForm):
    """What is added to a signed visit, and why."""

    class Meta:
        model = Addendum
        fields = ["text", "reason"]
        widgets = {"text": forms.Textarea(attrs={"rows": 5})}
        help_texts = {
            "text": _("It is kept with your name and the time, and can't be changed afterwards."),
            "reason": _("For example: left out on the day, result came in later."),
        }
        error_messages = {
            "text": {"required": _("Write what is added.")},
            "reason": {"required": _("Say why it is added.")},
        }

    def keep(self, visit: Visit, *, by) -> Addendum:
        self.instance.visit, self.instance.written_by = visit, by
        return self.save()
