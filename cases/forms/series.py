"""Several appointments of one patient at the same time of day, every so many weeks: all of them or none."""

import datetime
import uuid
from collections.abc import Iterator

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from cases.calendar import Calendar, read_calendar
from cases.fitting import misfits
from cases.forms.appointments import AppointmentForm
from cases.models import Appointment, SlotTaken
from clinic import slots
from clinic.forms import not_one_moment
from clinic.templatetags.clinic_tags import clock, written

# The clinic's own habit: a program is looked at again long before this.
MOST_TIMES, MOST_WEEKS = 12, 8


class SeriesForm(AppointmentForm):
    """Books `instance.patient` a number of times; each that can't be is named, and then none is booked."""

    every_weeks = forms.IntegerField(
        label=gettext_lazy("Every so many weeks"),
        validators=[MinValueValidator(1), MaxValueValidator(MOST_WEEKS)],
        error_messages={
            "required": gettext_lazy("Enter how many weeks lie between two visits."),
            "invalid": gettext_lazy("Enter whole weeks."),
        },
    )
    times = forms.IntegerField(
        label=gettext_lazy("How many visits"),
        validators=[MinValueValidator(2), MaxValueValidator(MOST_TIMES)],
        error_messages={
            "required": gettext_lazy("Enter how many visits."),
            "invalid": gettext_lazy("Enter a whole number of visits."),
        },
    )

    field_order = [*AppointmentForm.field_order, "every_weeks", "times"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["day"].label = _("First day")
        who = self.fields["practitioner"]
        who.empty_label, who.error_messages["required"] = _("choose"), _("Choose the practitioner.")
        self.series: list[Appointment] = []

    def _check_time(self, cleaned) -> None:
        step = datetime.timedelta(weeks=cleaned["every_weeks"])
        days = [cleaned["day"] + number * step for number in range(cleaned["times"])]
        calendar = self._calendar_of(days, cleaned["practitioner"])
        self.series, refusals = [], []
        for day in days:
            why = list(self._refusals(calendar, day, cleaned))
            refusals += [f"{written(day)}: {sentence}" for sentence in why]
        if refusals:
            self.add_error(None, [self._nothing(), *refusals])

    def _calendar_of(self, days: list[datetime.date], who) -> Calendar:
        """The calendar of the days, with the bookings of the practitioner and of the patient alone."""
        zone = timezone.get_current_timezone()
        start, end = (slots.midnight(day, zone) for day in (days[0], days[-1] + slots.ONE_DAY))
        booked = Appointment.objects.of(self.clinic).live().overlapping(start, end)
        bookings = booked.involving(who, self.instance.patient).with_people().in_order()
        return read_calendar(self.clinic, first=days[0], last=days[-1], bookings=bookings)

    def _refusals(self, calendar: Calendar, day: datetime.date, cleaned) -> Iterator[str]:
        """What stands against the visit of one day; without any it joins the series."""
        start = calendar.moment(day, cleaned["start"])
        if start is None:
            yield not_one_moment(day, cleaned["start"], calendar.zone)
            return
        length = datetime.timedelta(minutes=cleaned["minutes"])
        end = (start.astimezone(datetime.UTC) + length).astimezone(calendar.zone)
        if start < timezone.now():
            yield _("This time is over.")
            return
        for _field, why in misfits(calendar, cleaned["practitioner"], start, end):
            yield why
        for other in calendar.appointments:
            if other.starts_at < end and start < other.ends_at:
                yield self._in_the_way(other)
        visit = Appointment(patient=self.instance.patient, starts_at=start, ends_at=end)
        visit.case, visit.kind = cleaned["case"], cleaned["kind"]
        visit.practitioner = cleaned["practitioner"]
        self.series.append(visit)

    def _in_the_way(self, other: Appointment) -> str:
        told = {"time": clock(other.starts_at), "practitioner": other.practitioner}
        if other.patient_id == self.instance.patient_id:
            return _("The patient is booked at %(time)s with %(practitioner)s.") % told
        return _("%(practitioner)s is booked at %(time)s.") % told

    @staticmethod
    def _nothing() -> str:
        return _("Nothing is booked: choose another time, another first day or fewer visits.")

    def keep(self) -> bool:
        """Book the whole series, or none of it and say whose time somebody else has taken meanwhile."""
        told_together = uuid.uuid4()
        try:
            with transaction.atomic():
                for visit in self.series:
                    visit.keep(series=told_together)
        except SlotTaken:
            taken = _("%(day)s: somebody else has booked this time just now.")
            self.add_error(None, [self._nothing(), taken % {"day": written(visit.starts_at)}])
            return False
        return True

    def told(self) -> str:
        """What was booked, in one sentence."""
        number = len(self.series)
        words = ngettext(
            "Booked: %(who)s, %(number)s visit from %(first)s to %(last)s.",
            "Booked: %(who)s, %(number)s visits from %(first)s to %(last)s.",
            number,
        )
        return words % {
            "who": self.instance.patient,
            "number": number,
            "first": written(self.series[0].starts_at),
            "last": written(self.series[-1].starts_at),
        }
