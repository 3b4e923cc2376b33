"""The first free times beside the form of an appointment, each a button that books it."""

import datetime
from dataclasses import dataclass, field
from itertools import groupby, islice

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from cases.calendar import Calendar, span
from cases.forms.appointments import TAKEN, AppointmentForm
from cases.forms.finding import MOST_DAYS, FindForm
from cases.suits import suits_words
from clinic.first_fits import Fit, Openings, PartOfDay, Wish, fits, in_a_row, spread
from clinic.models import Staff
from clinic.slots import ONE_DAY

OFFERED = 9  # as many as there are keys, 1 to 9
OFFERED_OF_A_DAY = 40


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One free time as a button: `key` is what it sends, `number` the access key of the first nine."""

    fit: Fit
    number: int | None = None

    @property
    def key(self) -> str:
        return f"{self.fit.who.pk}|{self.fit.start:%Y-%m-%d|%H:%M}"


@dataclass(frozen=True, kw_only=True)
class OfferedDay:
    """Offers that follow each other on one day, with how near it is and whether it suits."""

    day: datetime.date
    near: str
    suits: str
    offers: list[Offer]


@dataclass(kw_only=True)
class FreeTimes:
    """The first free times from `first` to `last`; `beyond` when nothing nearer is free."""

    first: datetime.date
    last: datetime.date
    minutes: int
    who: Staff | None
    suits: str
    only: datetime.date | None = None
    beyond: bool = False
    days: list[OfferedDay] = field(default_factory=list)

    def or_none(self) -> "FreeTimes | None":
        return self if self.days else None


class Search:
    """What is looked for with a form as it stands: with whom, how long, near which day, what suits."""

    def __init__(self, form: AppointmentForm, find: FindForm, *, now: datetime.datetime):
        self.form, self.now, self.today = form, now, timezone.localdate(now)
        asked, self.near = form.asked, find.sound()
        self.who, self.minutes = asked.get("practitioner"), form.wanted_minutes()
        self.wanted = max(asked.get("day") or self.today, self.today)
        self.people = [self.who] if self.who else form.practitioners()

    def run(self) -> FreeTimes:
        """Look on the day that is asked for alone, then near the wanted day, then in the weeks after it."""
        if only := self.near["only"]:
            return self._times(only, only, only=only)
        return self._same_day() or self._near_the_day() or self._later()

    def _same_day(self) -> FreeTimes | None:
        """Where a typed time was refused, what else the day has."""
        day = self.form.asked.get("day") if "start" in self.form.errors else None
        return self._times(day, day, only=day).or_none() if day else None

    def _near_the_day(self) -> FreeTimes | None:
        first = max(self.wanted - self.near["days_before"] * ONE_DAY, self.today)
        return self._times(first, self._last()).or_none()

    def _last(self) -> datetime.date:
        return self.wanted + self.near["days_after"] * ONE_DAY

    def _later(self) -> FreeTimes:
        last = self._last()
        return self._times(last + ONE_DAY, last + MOST_DAYS * ONE_DAY, beyond=True)

    def _times(self, first, last, *, only=None, beyond=False) -> FreeTimes:
        offered = self._fits(first, last)
        chosen = list(
            islice(in_a_row(offered), OFFERED_OF_A_DAY)
            if only
            else islice(spread(offered), OFFERED)
        )
        return FreeTimes(
            first=first,
            last=last,
            minutes=self.minutes,
            who=self.who,
            suits=suits_words(self.near["weekdays"], self.near["parts"]),
            only=only,
            beyond=beyond,
            days=list(self._by_day(chosen)),
        )

    def _fits(self, first: datetime.date, last: datetime.date):
        calendar = self.form.calendar(first=first, last=last, names=False)
        wish = Wish(
            due=self.wanted,
            first=first,
            last=last,
            minutes=self.minutes,
            weekdays=frozenset(self.near["weekdays"]),
            parts=frozenset(PartOfDay(part) for part in self.near["parts"]),
        )
        openings = Openings(
            hours=calendar.hours, closed=calendar.closed, zone=calendar.zone, after=self.now
        )
        as_it_is = [self.form.on_record.get(name) for name in TAKEN]
        for fit in fits(wish, self._taken(calendar), openings):
            if [fit.who, fit.start.date(), fit.start.time()] != as_it_is:
                yield fit

    def _taken(self, calendar: Calendar):
        """What each practitioner has taken, and what the patient has: nobody is in two rooms at once."""
        patient = self.form.instance.patient_id
        own = [span(one) for one in calendar.appointments if one.patient_id == patient]
        return {who: [*calendar.taken[who.pk], *own] for who in self.people}

    def _by_day(self, chosen: list[Fit]):
        numbered = [
            Offer(fit=fit, number=number if number <= OFFERED else None)
            for number, fit in enumerate(chosen, start=1)
        ]
        for (day, misses), offers in groupby(
            numbered, key=lambda offer: (offer.fit.start.date(), offer.fit.misses)
        ):
            yield OfferedDay(
                day=day, near=self._near(day), suits=self._suits(misses), offers=list(offers)
            )

    def _near(self, day: datetime.date) -> str:
        off = (day - self.wanted).days
        if self.wanted == self.today:
            told = {0: _("today"), 1: _("tomorrow")}
            return told.get(off) or _("in %(days)s days") % {"days": off}
        if off == 0:
            same = self.form.on_record.get("day") == day
            return _("the same day") if same else _("the day wanted")
        after = ngettext("%(days)s day after", "%(days)s days after", off)
        before = ngettext("%(days)s day before", "%(days)s days before", -off)
        return (after if off > 0 else before) % {"days": abs(off)}

    def _suits(self, misses: int) -> str:
        preferred = bool(self.near["weekdays"]) + bool(self.near["parts"])
        if not preferred:
            return ""
        if misses == 0:
            return _("suits")
        return _("suits in part") if misses < preferred else _("does not suit")
