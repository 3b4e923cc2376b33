"""What the audit trail is narrowed to."""

import datetime

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from clinic import fetched, slots
from clinic.forms import DateInput
from clinic.models import AuditEvent, Clinic, Erasure, Staff
from clinic.models.audit import AuditEventQuerySet, words_of_page
from clinic.reference import as_typed
from clinic.templatetags.clinic_tags import say


def at_midnight(day: datetime.date) -> datetime.datetime:
    return slots.midnight(day, timezone.get_current_timezone())


class TrailDay(forms.DateField):
    """A day on which there may be a trail; with it, reckoning in another zone stays within the calendar."""

    widget = DateInput

    def validate(self, value) -> None:
        super().validate(value)
        if value and not 2000 <= value.year < 2200:
            raise ValidationError(_("There is no trail of this year."))


class DaysForm(forms.Form):
    """The first and the last day of the trail; without them, all days."""

    since = TrailDay(label=_("From"), required=False)
    until = TrailDay(label=_("To"), required=False)

    def clean_until(self) -> datetime.date | None:
        until, since = self.cleaned_data["until"], self.cleaned_data.get("since")
        if until and since and until < since:
            raise ValidationError(_("The last day is before the first."))
        return until

    def among(self, events: AuditEventQuerySet) -> AuditEventQuerySet:
        """Those of the days; none while they make no sense."""
        if not self.is_valid():
            return events.none()
        if since := self.cleaned_data["since"]:
            events = events.since(at_midnight(since))
        if until := self.cleaned_data["until"]:
            events = events.before(at_midnight(until + slots.ONE_DAY))
        return events


class TrailForm(DaysForm):
    """The choices above the trail; all of them stand in the address."""

    who = forms.ModelChoiceField(
        label=_("Who"), queryset=Staff.objects.none(), required=False, empty_label=_("everybody")
    )
    record = forms.IntegerField(
        label=_("Record number"),
        required=False,
        min_value=1,
        max_value=2**31 - 1,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 8}),
    )
    verb = forms.ChoiceField(label=_("Did"), required=False)
    page = forms.ChoiceField(label=_("Page"), required=False)
    reference = forms.CharField(
        label=_("Reference"),
        required=False,
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false", "size": 16}),
    )

    def __init__(self, data, *, clinic: Clinic):
        super().__init__(data)
        self.clinic = clinic
        self.patient: int | None = None
        every = ("", _("all"))
        verbs, pages = AuditEvent.objects.verbs_and_pages(clinic.pk)
        self.fields["who"].queryset = Staff.objects.ever_of(clinic).order_by(
            "last_name", "first_name", "pk"
        )
        self.fields["verb"].choices = [every, *((verb, say(verb)) for verb in verbs)]
        told = [(page, words_of_page(page)) for page in pages]
        self.fields["page"].choices = [every, *sorted(told, key=lambda choice: choice[1])]
        self.full_clean()

    def clean_record(self) -> int | None:
        """Find whose record it is, or was."""
        number = self.cleaned_data["record"]
        if number is None:
            return None
        if patient := Patient.objects.of(self.clinic).numbered(number):
            self.patient = patient.pk
            fetched.row_of(patient.pk, patient)
        elif erasure := Erasure.objects.of(self.clinic).numbered(number):
            self.patient = erasure.patient_key
            fetched.row_of(erasure.patient_key, erasure)
        else:
            raise ValidationError(_("No record has this number."))
        return number

    def clean_reference(self) -> str:
        return as_typed(self.cleaned_data["reference"])

    @property
    def is_narrowed(self) -> bool:
        return any(self.cleaned_data.values())

    @property
    def chosen(self) -> AuditEventQuerySet:
        """The events that fit all choices, newest first; none while a choice makes no sense."""
        events, asked = self.among(AuditEvent.objects.of(self.clinic)), self.cleaned_data
        if self.errors:
            return events
        if asked["who"]:
            events = events.by(asked["who"])
        if self.patient:
            events = events.about(self.patient)
        if asked["verb"]:
            events = events.that(asked["verb"])
        if asked["page"]:
            events = events.on_page(asked["page"])
        if asked["reference"]:
            events = events.in_request(asked["reference"])
        return events.newest_first()

    @property
    def told(self) -> dict[str, object]:
        """The choices as codes, for the trail itself."""
        return {
            name: getattr(value, "pk", None) or str(value)
            for name, value in self.cleaned_data.items()
            if value and name != "record"
        }
