"""Whether a time fits the clinic's calendar, and the sentence that says why not."""

import datetime
from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from cases.calendar import Calendar
from clinic.models import Absence, Staff
from clinic.slots import inside_hours
from clinic.templatetags.clinic_tags import clock, written


def misfits(
    calendar: Calendar, who: Staff, start: datetime.datetime, end: datetime.datetime
) -> Iterator[tuple[str, str]]:
    """Yield what stands against a time, as the part of it that is wrong (day, start, practitioner) and why.

    `start` and `end` are given in the clinic's own zone.
    """
    if start.date() in calendar.closed:
        yield "day", closed_sentence(calendar, start.date())
    elif not inside_hours(start, end, calendar.hours):
        late = _runs_past_midnight(calendar, start, end)
        told = _("An appointment can't run past midnight.") if late else None
        yield "start", told or hours_sentence(calendar, start.date())
    if away := calendar.absence_in(who, start, end):
        yield "practitioner", absence_sentence(away)
    if not (who.is_active and who.treats):
        yield "practitioner", _("%(who)s sees no patients here any more.") % {"who": who}


def _runs_past_midnight(calendar: Calendar, start, end) -> bool:
    """Whether a time begins while the clinic is open and ends on another day."""
    opened = any(one.opens <= start.time() < one.closes for one in calendar.stretches(start.date()))
    return opened and (end - datetime.timedelta.resolution).date() != start.date()


def closed_sentence(calendar: Calendar, day: datetime.date) -> str:
    told = {"day": written(day), "name": calendar.closed[day]}
    return _("The clinic is closed on %(day)s: %(name)s.") % told


def hours_sentence(calendar: Calendar, day: datetime.date) -> str:
    weekday = date_format(day, "l")
    hours = [f"{clock(one.opens)}–{clock(one.closes)}" for one in calendar.stretches(day)]
    if not hours:
        return _("The clinic is closed on %(day)s.") % {"day": weekday}
    told = {"day": weekday, "hours": _(" and ").join(hours)}
    return _("The clinic is open %(hours)s on %(day)s.") % told


def absence_sentence(absence: Absence) -> str:
    told = {"who": absence.staff, "when": absence_words(absence)}
    return _("%(who)s is away %(when)s.") % told


def absence_words(absence: Absence) -> str:
    """When somebody is away, with times only where it isn't whole days."""
    first, last = written(absence.first_day), written(absence.last_day)
    start = "" if absence.begins_with_its_day else clock(absence.starts_at)
    end = "" if absence.ends_with_its_day else clock(absence.ends_at)
    told = {"first": first, "last": last, "start": start, "end": end}
    if absence.first_day != absence.last_day:
        ends = {"first": f"{first} {start}".rstrip(), "last": f"{last} {end}".rstrip()}
        return _("from %(first)s to %(last)s") % ends
    if start and end:
        return _("on %(first)s from %(start)s to %(end)s") % told
    if start:
        return _("on %(first)s from %(start)s on") % told
    return (_("on %(first)s until %(end)s") if end else _("on %(first)s")) % told
