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
        yield "start", hours_sentence(calendar, start.date())
    if away := calendar.absence_in(who, start, end):
        yield "practitioner", absence_sentence(away)


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
    told = {
        "who": absence.staff,
        "start": f"{written(absence.starts_at)} {clock(absence.starts_at)}",
        "end": f"{written(absence.ends_at)} {clock(absence.ends_at)}",
    }
    return _("%(who)s is away from %(start)s to %(end)s.") % told
