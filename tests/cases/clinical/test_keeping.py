"""How long a record is kept.

Periods: England, Records Management Code 2021, as described by the Medical Defence Union and the Chartered
Society of Physiotherapy.
"""

import datetime

import pytest

from cases.clinical.keeping import Periods, keep_until, rule_of, shortest_years
from cases.clinical.years import years_later
from clinic.models import Clinic


def day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


@pytest.mark.parametrize(
    ("born", "last_contact", "until"),
    [
        ("1980-05-04", "2016-03-12", "2024-03-12"),  # an adult: 8 years
        ("2008-06-15", "2026-06-15", "2034-06-15"),  # on the 18th birthday: an adult
        ("2008-06-15", "2026-06-14", "2034-06-15"),  # the day before: 17, until 26
        ("2008-06-15", "2025-06-15", "2034-06-15"),  # on the 17th birthday
        ("2008-06-15", "2025-06-14", "2033-06-15"),  # the day before: 16, until 25
        ("2008-02-29", "2026-02-28", "2034-03-01"),  # 29 February: 18 on 1 March only
        ("2008-02-29", "2026-03-01", "2034-03-01"),
        ("2008-02-29", "2025-02-28", "2033-03-01"),
        ("1980-05-04", "2016-02-29", "2024-02-29"),  # last seen on 29 February
        ("1980-05-04", "2020-02-29", "2028-02-29"),
    ],
)
def test_the_period_of_england(born, last_contact, until):
    assert keep_until(day(born), day(last_contact)) == day(until)


def test_a_last_contact_on_29_february_is_kept_to_1_march_in_a_year_without_one():
    kept = keep_until(day("1980-05-04"), day("2016-02-29"), Periods(adult_years=7))

    assert kept == day("2023-03-01")


def test_a_last_contact_before_birth_is_a_mistake():
    with pytest.raises(ValueError, match="before birth"):
        keep_until(day("2020-01-02"), day("2020-01-01"))


@pytest.mark.parametrize(
    ("born", "said"),
    [
        ("1980-05-04", "8 years after the last contact"),
        ("2009-01-10", "until the birthday number 26: 17 at the last contact"),
        ("2012-01-10", "until the birthday number 25: under 17 at the last contact"),
    ],
)
def test_the_rule_is_said(born, said):
    assert str(rule_of(day(born), day("2026-03-12"))) == said


@pytest.mark.parametrize(
    "periods",
    [Periods(), Periods(adult_years=30), Periods(child_until_age=18, child_until_age_if_17=18)],
)
def test_nothing_is_due_before_the_shortest_years(periods):
    """The list looks at no record that was used since: none of them may be due."""
    last = day("2026-03-12")
    earliest = min(
        keep_until(last - datetime.timedelta(days=age), last, periods) for age in range(0, 9000, 7)
    )

    assert earliest >= years_later(last, shortest_years(periods))


def test_a_clinic_begins_with_the_period_of_england():
    clinic, usual = Clinic(), Periods()

    for name in ("adult_years", "child_until_age", "child_until_age_if_17"):
        assert getattr(clinic, name) == getattr(usual, name)
