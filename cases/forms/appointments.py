"""A time in the book: with whom, for what, when and how long."""

import datetime
from functools import cached_property

from django import forms
from django.core.exceptions import BadRequest
from django.db.models import Model
from django.http import QueryDict
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.calendar import Calendar, read_calendar
from cases.fitting import misfits
from cases.models import Appointment, Case, Patient, SlotTaken
from clinic.forms import (
    WRONG_DAY,
    WRONG_TIME,
    DateInput,
    NearDate,
    StampedModelForm,
    TimeInput,
    not_one_moment,
)
from clinic.models import Clinic, Staff
from clinic.models.clinic import LONGEST, SHORTEST
from clinic.templatetags.clinic_tags import clock

TAKEN = ("practitioner", "day", "start")  # what a free time's button sends, with bars between them


class AppointmentForm(StampedModelForm):
    """Books `instance.patient`, or moves a booking; refuses what stands against it in the calendar."""

    day = NearDate(
        label=gettext_lazy("Day"),
        widget=DateInput(),
        error_messages={
            "required": gettext_lazy("Enter the day."),
            "invalid": WRONG_DAY,
        },
    )
    start = forms.TimeField(
        label=gettext_lazy("Starts"),
        widget=TimeInput(step=300),
        error_messages={
            "required": gettext_lazy("Enter the time, or choose a free one."),
            "invalid": WRONG_TIME,
        },
    )
    minutes = forms.IntegerField(
        label=gettext_lazy("Length"),
        required=False,
        min_value=SHORTEST,
        max_value=LONGEST,
        help_text=gettext_lazy("Left empty: the usual length of the kind."),
        error_messages={
            "invalid": gettext_lazy("Enter whole minutes."),
            "min_value": gettext_lazy("An appointment takes at least %(limit_value)s minutes."),
            "max_value": gettext_lazy("An appointment takes at most %(limit_value)s minutes."),
        },
    )

    class Meta:
        model = Appointment
        fields = ["case", "practitioner", "kind"]
        labels = {
            "case": gettext_lazy("Case"),
            "practitioner": gettext_lazy("With"),
            "kind": gettext_lazy("Kind"),
        }
        error_messages = {
            "case": {"invalid_choice": gettext_lazy("Choose an open case of this patient.")},
            "practitioner": {
                "required": gettext_lazy("Choose the practitioner, or one of the free times."),
                "invalid_choice": gettext_lazy("Choose a practitioner of this clinic."),
            },
        }

    field_order = ["practitioner", "kind", "case", "day", "start", "minutes"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        patient = self.instance.patient
        self.clinic = patient.clinic
        self.fields["case"].queryset = patient.cases.open_or(self.instance.case_id)
        self.fields["case"].label_from_instance = lambda case: (
            _("%(side)s elbow") % {"side": case.get_side_display()}
        )
        self.fields["case"].empty_label = _("none yet")
        self.fields["practitioner"].queryset = Staff.objects.of(self.clinic).who_treat()
        self.fields["practitioner"].empty_label = _("anybody")
        self.fields["kind"].choices = [
            (
                kind.value,
                _("%(kind)s (%(minutes)s min)")
                % {"kind": kind.label, "minutes": self.clinic.usual_minutes(kind)},
            )
            for kind in Appointment.Kind
        ]
        self.initial |= {
            name: value for name, value in self.stored().items() if name not in self.initial
        }

    def stored(self) -> dict[str, object]:
        return on_record(self.instance) if self.instance.pk else {}

    def clean(self):
        cleaned = super().clean()
        cleaned["minutes"] = cleaned.get("minutes") or self.usual_minutes(cleaned.get("kind"))
        if not self.errors:
            self._check_time(cleaned)
        return cleaned

    def usual_minutes(self, kind: str | None) -> int:
        known = kind in Appointment.Kind.values
        return self.clinic.usual_minutes(kind if known else Appointment.Kind.FOLLOW_UP)

    def _check_time(self, cleaned) -> None:
        calendar = self.calendar(first=cleaned["day"], last=cleaned["day"])
        start = calendar.moment(cleaned["day"], cleaned["start"])
        if start is None:
            told = not_one_moment(cleaned["day"], cleaned["start"], calendar.zone)
            self.add_error("start", told)
            return
        length = datetime.timedelta(minutes=cleaned["minutes"])
        end = (start.astimezone(datetime.UTC) + length).astimezone(calendar.zone)
        moved = start != self.instance.starts_at  # one that has begun may still become longer
        self.instance.starts_at, self.instance.ends_at = start, end
        if moved and start < timezone.now():
            at = "start" if cleaned["day"] == timezone.localdate() else "day"
            self.add_error(at, _("This time is over. Choose one that is still to come."))
            return
        for field, why in misfits(calendar, cleaned["practitioner"], start, end):
            self.add_error(field, why)
        self._check_patient_is_free(calendar, start, end)

    def _check_patient_is_free(self, calendar: Calendar, start, end) -> None:
        for other in calendar.appointments:
            elsewhere = other.patient_id == self.instance.patient_id and not other.is_cancelled
            if elsewhere and other.starts_at < end and start < other.ends_at:
                told = {"time": clock(other.starts_at), "practitioner": other.practitioner}
                text = _("The patient is booked then already, at %(time)s with %(practitioner)s.")
                self.add_error("start", text % told)

    def keep(self) -> bool:
        """Save, or say at the field that somebody else has the time now."""
        try:
            self.instance.keep()
        except SlotTaken:
            taken = _("%(practitioner)s is already booked then. Choose another time.")
            self.add_error("start", taken % {"practitioner": self.instance.practitioner})
            return False
        return True

    def calendar(
        self, *, first: datetime.date, last: datetime.date, names: bool = True
    ) -> Calendar:
        moving = self.instance if self.instance.pk else None
        return read_calendar(self.clinic, first=first, last=last, without=moving, names=names)

    def chosen(self) -> dict[str, str]:
        """What is chosen so far, as an address carries it: what was typed, otherwise what is proposed."""
        values = {name: self[name].value() for name in self.field_order}
        return {name: plain(value) for name, value in values.items() if value not in (None, "")}

    @cached_property
    def asked(self) -> dict[str, object]:
        """What is chosen so far and makes sense."""
        return Asked(self.chosen(), clinic=self.clinic).sound()

    def wanted_minutes(self) -> int:
        return self.asked.get("minutes") or self.usual_minutes(self.asked.get("kind"))

    def practitioners(self) -> list[Staff]:
        """Everybody who may be booked, first whoever leads the case."""
        case = self.asked.get("case")
        people = list(Staff.objects.of(self.clinic).who_treat())
        return sorted(people, key=lambda one: not case or one.pk != case.lead_id)


def on_record(booked: Appointment) -> dict[str, object]:
    """What the form shows of a booking."""
    start = timezone.localtime(booked.starts_at)
    return {
        "practitioner": booked.practitioner,
        "kind": booked.kind,
        "case": booked.case,
        "day": start.date(),
        "start": start.time(),
        "minutes": booked.minutes,
    }


class Asked(forms.Form):
    """What an address or a half-filled form asks for; unsound parts are left out."""

    practitioner = forms.ModelChoiceField(Staff.objects.none(), required=False)
    kind = forms.ChoiceField(choices=Appointment.Kind, required=False)
    case = forms.ModelChoiceField(Case.objects.none(), required=False)
    day = NearDate(required=False)
    start = forms.TimeField(required=False)
    minutes = forms.IntegerField(required=False, min_value=SHORTEST, max_value=LONGEST)

    def __init__(self, data, *, clinic: Clinic):
        super().__init__(data)
        self.fields["practitioner"].queryset = Staff.objects.of(clinic).who_treat()
        self.fields["case"].queryset = Case.objects.of(clinic).open().with_people()

    def sound(self) -> dict[str, object]:
        self.full_clean()
        return {name: value for name, value in self.cleaned_data.items() if value}


def plain(value: object) -> str:
    """A form's value as an address carries it: a row by its number."""
    return str(value.pk if isinstance(value, Model) else value)


def proposal(asked: QueryDict, patient: Patient, *, by: Staff | None = None) -> dict[str, object]:
    """What the form proposes: what the address asks for, and what the patient's case says of the rest."""
    wanted = Asked(asked, clinic=patient.clinic).sound()
    open_cases = list(patient.cases.open().with_people())
    case = wanted.get("case") or (open_cases[0] if len(open_cases) == 1 else None)
    proposed = {"kind": Appointment.Kind.FOLLOW_UP if open_cases else Appointment.Kind.FIRST}
    if by is not None and by.treats:
        proposed["practitioner"] = by
    if case:
        proposed |= {"case": case, "practitioner": case.lead}
        if case.due_on and case.due_on >= timezone.localdate():
            proposed["day"] = case.due_on
    emptied = {name: None for name in ("practitioner", "case") if asked.get(name) == ""}
    return proposed | emptied | wanted


def with_time_taken(data: QueryDict | None) -> QueryDict | None:
    """What was sent, with the free time of the button that was pressed filled in."""
    if not data or "take" not in data:
        return data
    taken = data["take"].split("|")
    if len(taken) != len(TAKEN):
        raise BadRequest("take")
    filled = data.copy()
    for name, value in zip(TAKEN, taken, strict=True):
        filled[name] = value
    return filled


class CancelForm(forms.Form):
    reason = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        help_text=gettext_lazy("A few words, nothing clinical: the whole clinic can read them."),
        error_messages={"required": gettext_lazy("Say in a few words why it is cancelled.")},
    )
