"""What the patient says of themselves, over the visits of a case: what may be compared, and what may not."""

import datetime

import pytest

from assessments.course import course_of, values_of
from tests.factories.assessments import create_activities, create_activity_ratings, create_own
from tests.factories.cases import create_case, create_visit

pytestmark = pytest.mark.django_db

START = datetime.date(2026, 3, 2)
LATER = datetime.date(2026, 3, 16)


@pytest.fixture
def case():
    case = create_case(opened=START)
    create_activities("saw", "lift a pan", "tune the cello", case=case)
    return case


def seen(case, on, *ratings, **own):
    """A visit at which the case's activities were rated in their order; None leaves one out."""
    visit = create_visit(case=case, on=on)
    if ratings:
        create_activity_ratings(visit=visit, ratings=ratings)
    create_own(visit=visit, **own)
    visit.sign(by=visit.practitioner, at=datetime.datetime.now(tz=datetime.UTC))
    return visit


def test_the_same_activities_are_compared_by_their_mean(case):
    # Computed from Stratford 1995 Physiother Can 47:258–63: 3.0 to 5.0, the 2 points themselves count.
    seen(case, START, 2, 4, 3)
    seen(case, LATER, 5, 6, 4)

    change = course_of(case).line("activities").since_start

    assert (change.amount, change.beyond_error, change.over) == (2.0, True, None)


def test_an_activity_rated_on_one_date_alone_is_left_out_and_said(case):
    seen(case, START, 2, 4, None)
    seen(case, LATER, 5, 6, 0)

    change = course_of(case).line("activities").since_start

    assert change.amount == 2.5
    assert str(change.over) == "over the 2 rated on both dates: 3.0, then 5.5"


def test_other_activities_are_not_compared_and_it_says_so(case):
    seen(case, START, 2, None, None)
    seen(case, LATER, None, 6, 4)

    line = course_of(case).line("activities")

    assert line.since_start is None
    assert str(line.why_not_compared) == "not comparable: other activities"


def test_each_activity_has_a_line_in_the_patients_words(case):
    seen(case, START, 2, 4, None)
    seen(case, LATER, 4, 7, 9)

    lines = course_of(case).activity_lines

    assert [(line.measure.name, line.start.value, line.today.value) for line in lines] == [
        ("saw", 2, 4),
        ("lift a pan", 4, 7),
        ("tune the cello", 9, 9),
    ]
    assert [line.since_start and line.since_start.beyond_error for line in lines] == [
        False,
        True,
        None,
    ]


def test_a_global_rating_is_read_as_it_stands_and_never_subtracted(case):
    seen(case, START)
    seen(case, LATER, global_rating=1)
    seen(case, LATER, global_rating=3)

    line = course_of(case).line("global_rating")

    assert (line.start, line.since_last) == (None, None)
    assert (line.since_start.amount, line.last.value) == (3, 1)
    assert str(line.why_not_compared) == "is a change itself"


def test_days_off_of_unlike_periods_are_shown_and_not_compared(case):
    seen(case, START, time_off_work=10)
    seen(case, LATER, time_off_work=0)

    line = course_of(case).line("time_off_work")

    assert (line.start.value, line.today.value, line.since_start) == (10, 0, None)
    assert str(line.why_not_compared) == "not compared: the periods differ in length"


def test_a_single_number_is_valued_as_it_was_just_written(case):
    visit = create_visit(case=case, on=START)
    assert values_of(visit) == {}

    create_own(visit=visit, time_off_work=0)

    assert values_of(visit) == {"time_off_work": 0}
