"""A morning at the clinic: Thursday 12 Mar 2026, 08:00 in London."""

import datetime
import zoneinfo

import pytest
from django.utils import timezone

LONDON = zoneinfo.ZoneInfo("Europe/London")
THURSDAY = datetime.date(2026, 3, 12)


def at(hour, minute=0, *, day=THURSDAY):
    return datetime.datetime.combine(day, datetime.time(hour, minute), LONDON)


@pytest.fixture
def morning(monkeypatch):
    """Stop the clock; returns a function that sets it to another moment."""

    def set_clock(moment):
        monkeypatch.setattr(timezone, "now", lambda: moment)

    set_clock(at(8))
    return set_clock
