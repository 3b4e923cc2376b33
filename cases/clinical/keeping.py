"""How long a record is kept: the day from which it may be erased, if a person decides so.

The clock starts at the last contact. England (Records Management Code 2021, as described by the Medical
Defence Union and the Chartered Society of Physiotherapy; read second-hand): adults 8 years; children until
the 25th birthday, or the 26th if they were 17 when treatment ended. Scotland: 6 years at least for adults,
children otherwise. United States: the law of the state, about 5 to 10 years for adults, children to majority
and that period on top; pages disagree on single states. So all three are settings of the clinic.
"""

import datetime
from dataclasses import dataclass

from cases.clinical.years import age_on, years_later
from clinic.wording import Sentence, say

ADULT, LAST_CHILD_YEAR = 18, 17


@dataclass(frozen=True, kw_only=True)
class Periods:
    """The clinic's own periods, in years; children's count from birth."""

    adult_years: int = 8
    child_until_age: int = 25
    child_until_age_if_17: int = 26


def keep_until(
    born: datetime.date, last_contact: datetime.date, periods: Periods = Periods()
) -> datetime.date:
    """Return the day on which the period ends; from that day on the record may go.

    Raises ValueError for a last contact before birth.
    """
    if last_contact < born:
        raise ValueError(f"last contact {last_contact} before birth {born}")
    age = age_on(born, today=last_contact)
    if age >= ADULT:
        return years_later(last_contact, periods.adult_years)
    until = periods.child_until_age_if_17 if age == LAST_CHILD_YEAR else periods.child_until_age
    return years_later(born, until)


def rule_of(
    born: datetime.date, last_contact: datetime.date, periods: Periods = Periods()
) -> Sentence:
    """Return in words which of the periods `keep_until` goes by."""
    age = age_on(born, today=last_contact)
    if age >= ADULT:
        return say("%(years)s years after the last contact", years=periods.adult_years)
    if age == LAST_CHILD_YEAR:
        until = periods.child_until_age_if_17
        return say("until the birthday number %(age)s: 17 at the last contact", age=until)
    until = periods.child_until_age
    return say("until the birthday number %(age)s: under 17 at the last contact", age=until)


def shortest_years(periods: Periods = Periods()) -> int:
    """Return the years after a last contact before which no record is due, whoever it is about."""
    youngest = min(periods.child_until_age - LAST_CHILD_YEAR, periods.child_until_age_if_17 - ADULT)
    return max(0, min(periods.adult_years, youngest))
