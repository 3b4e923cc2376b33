"""Closed days, as the database keeps them."""

import datetime

import pytest
from django.db import IntegrityError

from clinic.models import ClosedDay
from tests.factories.clinic import create_clinic

# From memory: Easter Sunday fell on 5 April 2026.
GOOD_FRIDAY = datetime.date(2026, 4, 3)

pytestmark = pytest.mark.django_db


def close(clinic=None, **changes):
    told = {"day": GOOD_FRIDAY, "name": "Good Friday"} | changes
    return ClosedDay.objects.create(clinic=clinic or create_clinic(), **told)


def test_a_day_is_closed_once_in_a_clinic():
    clinic = close().clinic

    with pytest.raises(IntegrityError):
        close(clinic, name="Fair")


def test_two_clinics_may_close_on_the_same_day():
    close()

    assert close().day == GOOD_FRIDAY


def test_a_closed_day_says_why():
    with pytest.raises(IntegrityError, match="closed_day_has_a_name"):
        close(name="")


def test_days_are_found_from_first_to_last_and_by_what_is_over():
    clinic = create_clinic()
    good, monday, may = (
        close(clinic, day=day)
        for day in (GOOD_FRIDAY, datetime.date(2026, 4, 6), datetime.date(2026, 5, 4))
    )
    days = ClosedDay.objects.of(clinic)

    assert list(days.between(GOOD_FRIDAY, monday.day)) == [good, monday]
    assert list(days.since(monday.day)) == [monday, may]
    assert list(days.before(may.day)) == [monday, good]
