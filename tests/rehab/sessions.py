"""A session of the diary as it is typed into a row of its form."""

import datetime

from django.utils import timezone

SESSION = {
    "sets_done": 3,
    "last_set_repetitions": 15,
    "worst_pain": 2,
    "next_morning_pain": 1,
    "night_wakings": 0,
}


def on(program, day=0):
    return timezone.localdate(program.issued_at) + datetime.timedelta(days=day)


def row(day, **cells):
    return {f"{day}_{name}": value for name, value in (SESSION | cells).items()}
