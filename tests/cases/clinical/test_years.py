"""Whole years, checked against the library dateutil.

That a birthday on 29 February counts from 1 March in other years is our own reading, the one that keeps a
record longer.
"""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from cases.clinical.years import age_on, years_later

TODAY = date(2026, 3, 12)
LEAP_DAY = date(2008, 2, 29)


@pytest.mark.parametrize(
    ("born", "today", "age"),
    [
        (date(1980, 3, 12), TODAY, 46),
        (date(1980, 3, 13), TODAY, 45),
        (TODAY, TODAY, 0),
        (LEAP_DAY, date(2026, 2, 28), 17),
        (LEAP_DAY, date(2026, 3, 1), 18),
    ],
)
def test_age_is_in_whole_years(born, today, age):
    assert age_on(born, today=today) == age


@pytest.mark.parametrize("born", [LEAP_DAY, date(2008, 6, 15), date(1999, 12, 31)])
def test_age_is_that_of_a_library(born):
    for offset in range(6000, 8000):
        on = born + timedelta(days=offset)
        leapling = (on.month, on.day) == (2, 28) and born.day == 29
        assert age_on(born, today=on) == relativedelta(on, born).years or leapling


def test_nobody_has_an_age_before_birth():
    with pytest.raises(ValueError, match="2026-03-13 is after 2026-03-12"):
        age_on(date(2026, 3, 13), today=TODAY)


@pytest.mark.parametrize("years", range(1, 30))
@pytest.mark.parametrize(
    "start", [date(2016, 2, 29), date(2016, 2, 28), date(2016, 12, 31), date(2017, 7, 1)]
)
def test_years_are_those_of_a_library_but_for_29_february(start, years):
    """dateutil goes back to 28 February; the record is kept the day longer."""
    later, theirs = years_later(start, years), start + relativedelta(years=years)

    short = (later.month, later.day) == (3, 1) and start.day == 29
    assert later - theirs == timedelta(days=1 if short else 0)
