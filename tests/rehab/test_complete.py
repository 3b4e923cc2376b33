"""How complete a case's record is, on the case page."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.core_set import core_set
from assessments.course import course_of
from tests.factories.assessments import (
    create_activities,
    create_activity_ratings,
    create_grip,
    create_own,
    create_pain,
    create_questionnaire,
)
from tests.factories.cases import create_case, create_visit
from tests.factories.rehab import create_diary, create_issued

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    opened = timezone.localdate() - datetime.timedelta(days=28)
    case = create_case(lead=physiotherapist, opened=opened)
    create_activities("planing boards", case=case)
    return case


def measured_fully(case, on):
    visit = create_visit(case=case, on=on)
    create_pain(visit=visit, on_gripping=5)
    create_grip(visit=visit)
    create_questionnaire(visit=visit)
    create_activity_ratings(visit=visit, ratings=(3,))
    create_own(visit=visit, time_off_work=0)
    visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


def page_of(case, signed_in, physiotherapist):
    return signed_in(physiotherapist).get(reverse("rehab:case", args=[case.pk]))


def test_a_fully_measured_start_is_counted_and_dated(case, signed_in, physiotherapist):
    measured_fully(case, case.opened)

    page = page_of(case, signed_in, physiotherapist)

    complete = page.context["complete"]
    assert (complete.at_start, len(complete.rows)) == (7, 7)
    assert {row.baseline.on for row in complete.rows} == {case.opened}
    assert page.content.decode().count("not yet") == 14


def test_what_is_missing_is_a_word_and_a_shape(case, signed_in, physiotherapist):
    visit = create_visit(case=case, on=case.opened)
    create_pain(visit=visit, on_gripping=5)

    page = page_of(case, signed_in, physiotherapist)

    text = page.content.decode()
    assert page.context["complete"].at_start == 1
    assert text.count('#shape-open"></use></svg> missing') == 6


def test_the_last_visit_of_a_closed_case_is_its_discharge(case, today):
    measured_fully(case, case.opened)
    measured_fully(case, today)
    case.close("discharged", on=today, reason="back at work")

    rows = core_set(course_of(case), closed=not case.is_open)

    assert {row.discharge.on for row in rows} == {today}


def test_a_half_filled_questionnaire_leaves_its_total_missing_and_its_pain_items_there(case):
    visit = create_visit(case=case, on=case.opened)
    create_questionnaire(visit=visit, items=(3, 6, 5, 1, 8) + (None,) * 10)

    there = {
        row.wanted.domain: row.baseline.there for row in core_set(course_of(case), closed=False)
    }

    assert there["Disability"] is False
    assert there["Pain over a stated time"] is True


def test_a_case_without_visits_has_no_table(case, signed_in, physiotherapist):
    page = page_of(case, signed_in, physiotherapist)

    assert "What the record holds" not in page.content.decode()


def test_the_mean_of_the_weeks_mornings_stands_beside_it(case, signed_in, physiotherapist):
    measured_fully(case, case.opened)
    program = create_issued(case=case, at=timezone.now() - datetime.timedelta(days=15))
    create_diary(program=program, days=14, next_morning_pain=2)

    page = page_of(case, signed_in, physiotherapist)

    week = page.context["complete"].week
    assert (week.mean_now, week.mean_before) == (2, 2)
    assert "Mean of this week's mornings in the diary: <strong>2</strong>" in page.content.decode()
