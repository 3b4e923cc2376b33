"""Free times beside the appointment form, each a link that fills it in."""

import datetime
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest
from django.utils import timezone

from cases.forms.appointments import AppointmentForm

DAYS_SHOWN = 4
TIMES_A_DAY = 20


@dataclass(frozen=True)
class FreeDay:
    day: datetime.date
    times: list[tuple[datetime.datetime, str]]


def spaced(starts: list[datetime.datetime], minutes: int) -> list[datetime.datetime]:
    """Of starts every quarter hour, those that leave no scrap between them."""
    chosen: list[datetime.datetime] = []
    for start in starts:
        if not chosen or start - chosen[-1] >= datetime.timedelta(minutes=minutes):
            chosen.append(start)
    return chosen


def free_times(request: HttpRequest, form: AppointmentForm) -> list[FreeDay]:
    """The first free days and times with the practitioner who is chosen; empty while nobody is."""
    minutes = form.wanted_minutes()
    kept = request.GET.dict() | form.chosen()
    days = form.free_days(on=timezone.localdate(), now=timezone.now())
    return [
        FreeDay(
            day,
            [(start, _link(kept, day, start)) for start in spaced(starts, minutes)[:TIMES_A_DAY]],
        )
        for day, starts in (pair for _number, pair in zip(range(DAYS_SHOWN), days, strict=False))
    ]


def _link(kept: dict, day: datetime.date, start: datetime.datetime) -> str:
    return "?" + urlencode(kept | {"day": day.isoformat(), "start": f"{start:%H:%M}"})
