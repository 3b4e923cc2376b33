"""When a practitioner is away: whole days, or a part of one."""

import datetime
import zoneinfo
from functools import cached_property

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic import slots
from clinic.forms import (
    WRONG_DAY,
    WRONG_TIME,
    DateInput,
    NearDate,
    StampedModelForm,
    TimeInput,
    not_one_moment,
)
from clinic.models import Absence, Clinic, Staff

LONGEST = datetime.timedelta(days=366)  # a longer one is a slip of the keyboard


class AbsenceForm(StampedModelForm):
    """Notes or changes an absence; without times it takes whole days, without a last day one day."""

    first_day = NearDate(
        label=gettext_lazy("First day"),
        widget=DateInput(),
        error_messages={"required": gettext_lazy("Enter the first day."), "invalid": WRONG_DAY},
    )
    from_time = forms.TimeField(
        label=gettext_lazy("From"),
        required=False,
        widget=TimeInput(step=300),
        error_messages={"invalid": WRONG_TIME},
    )
    last_day = NearDate(
        label=gettext_lazy("Last day"),
        required=False,
        widget=DateInput(),
        error_messages={"invalid": WRONG_DAY},
    )
    until_time = forms.TimeField(
        label=gettext_lazy("Until"),
        required=False,
        widget=TimeInput(step=300),
        error_messages={"invalid": WRONG_TIME},
    )

    class Meta:
        model = Absence
        fields = ["staff", "reason"]
        labels = {"staff": gettext_lazy("Who"), "reason": gettext_lazy("Reason")}
        widgets = {"reason": forms.TextInput(attrs={"autocomplete": "off"})}
        error_messages = {
            "staff": {
                "required": gettext_lazy("Choose who is away."),
                "invalid_choice": gettext_lazy("Choose a practitioner of this clinic."),
            }
        }

    field_order = ["staff", "first_day", "last_day", "from_time", "until_time", "reason"]

    def __init__(self, *args, clinic: Clinic, **kwargs):
        self.zone = zoneinfo.ZoneInfo(clinic.time_zone)
        super().__init__(*args, **kwargs)
        self.fields["staff"].queryset = Staff.objects.of(clinic).who_treat()
        self.fields["staff"].empty_label = _("choose")
        self.initial |= {
            name: value for name, value in self.on_record.items() if name not in self.initial
        }

    @cached_property
    def has_anybody(self) -> bool:
        """Whether there is anybody to choose; their names are read once, for this and for the list."""
        # list() of the choices themselves would count them in the database first.
        names = self.fields["staff"].choices = list(iter(self.fields["staff"].choices))
        return any(number for number, _name in names)

    def stored(self) -> dict[str, object]:
        held = self.instance
        if not held.pk:
            return {}
        start, end = timezone.localtime(held.starts_at), timezone.localtime(held.ends_at)
        return {
            "staff": held.staff,
            "reason": held.reason,
            "first_day": held.first_day,
            "last_day": held.last_day,
            "from_time": None if held.begins_with_its_day else start.time(),
            "until_time": None if held.ends_with_its_day else end.time(),
        }

    def clean(self):
        cleaned = super().clean()
        if not self.errors:
            self._check_span(cleaned)
        return cleaned

    def _check_span(self, cleaned) -> None:
        first, last = cleaned["first_day"], cleaned["last_day"] or cleaned["first_day"]
        start = self._moment("from_time", first, cleaned["from_time"])
        end = self._moment("until_time", last, cleaned["until_time"], without=last + slots.ONE_DAY)
        if start is None or end is None:
            return
        if end <= start:
            at = "last_day" if last < first else "until_time"
            self.add_error(at, _("An absence can't end before it starts."))
        elif end <= timezone.now():
            self.add_error("first_day", _("This time is over. Check the dates."))
        elif end - start > LONGEST:
            self.add_error("last_day", _("This is longer than a year. Check the dates."))
        self.instance.starts_at, self.instance.ends_at = start, end

    def _moment(
        self,
        field: str,
        day: datetime.date,
        clock: datetime.time | None,
        *,
        without: datetime.date | None = None,
    ) -> datetime.datetime | None:
        """The moment of a typed time, or of the midnight that begins `day` (or `without`) when none is."""
        if clock is None:
            return slots.midnight(without or day, self.zone)
        moment = slots.moment(day, clock, self.zone)
        if moment is None:
            self.add_error(field, not_one_moment(day, clock, self.zone))
        return moment
