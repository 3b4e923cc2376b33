"""What the patient says of themselves, typed on the measures page."""

import datetime

import pytest
from django.urls import reverse

from assessments.models import ActivityRating, GlobalRating, MeasuredValue, TimeOffWork
from tests.factories.assessments import (
    create_activities,
    create_activity_ratings,
    create_own,
    create_pain,
    create_questionnaire,
)
from tests.factories.cases import create_case, create_visit
from tests.pages import DONE, TYPING, typed

pytestmark = pytest.mark.django_db

START = datetime.date(2026, 3, 2)
LATER = datetime.date(2026, 3, 16)


def url(visit):
    return reverse("assessments:measures", args=[visit.pk])


@pytest.fixture
def case(physiotherapist):
    case = create_case(lead=physiotherapist, opened=START)
    create_activities("planing boards", "lifting a pan", case=case)
    return case


@pytest.fixture
def first(case):
    return create_visit(case=case, on=START)


@pytest.fixture
def second(case, first, physiotherapist):
    """Two weeks after the first, which is signed."""
    create_activity_ratings(visit=first, ratings=(2, 4))
    first.sign(by=physiotherapist, at=datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC))
    return create_visit(case=case, on=LATER)


def answer(browser, visit, **fields):
    return browser.post(url(visit), typed(browser.get(url(visit)), **fields) | DONE)


def saved(browser, visit, **fields):
    return browser.post(url(visit), typed(browser.get(url(visit)), **fields), **TYPING)


def rated(visit):
    return {rating.activity.name: rating.value for rating in visit.activity_ratings.all()}


def test_the_activities_of_the_intake_are_rated_and_scored_as_they_are_typed(browser, first):
    one, two = (f"activity_{activity.pk}" for activity in first.case.activities.all())

    saved(browser, first, **{one: "3", two: "6"})

    assert rated(first) == {"planing boards": 3, "lifting a pan": 6}
    assert MeasuredValue.objects.get(visit=first, measure="activities").value == 4.5


def test_a_rating_can_be_taken_back(browser, first):
    create_activity_ratings(visit=first, ratings=(2, 4))
    one, _two = (f"activity_{activity.pk}" for activity in first.case.activities.all())

    saved(browser, first, **{one: ""})

    assert rated(first) == {"lifting a pan": 4}


def test_without_activities_the_page_says_where_to_name_them(browser, physiotherapist):
    visit = create_visit(case=create_case(lead=physiotherapist))

    page = browser.get(url(visit)).content.decode()

    assert "No activities are named yet." in page
    assert f'href="{reverse("cases:intake", args=[visit.case_id])}#id_activities"' in page


def test_the_last_rating_does_not_stand_beside_the_keys(browser, second):
    page = browser.get(url(second)).content.decode()

    keys = page[page.index('id="measures-own-head"') : page.index('id="measures-unit-head"')]
    assert keys.count("checked") == 3
    assert keys.count('value="" id=') == 3


def test_change_is_asked_from_the_second_visit_on(browser, first, second):
    # There is nothing to compare a first visit with.
    assert "global_rating" not in browser.get(url(first)).context["form"].fields
    saved(browser, second, global_rating="-2")

    assert GlobalRating.objects.get().value == -2


def test_a_typed_minus_sign_is_one(browser, second):
    saved(browser, second, global_rating="−2")

    assert GlobalRating.objects.get().value == -2


def test_days_off_are_asked_for_four_weeks_then_since_the_last_visit(browser, first, second):
    create_own(visit=second, time_off_work=3)

    page = browser.get(url(second)).content.decode()

    assert "since the last visit on 2 Mar 2026; 0 for none." in page
    assert 'name="measures-time_off_work"' in page
    assert 'value="3"' in page


def test_a_first_visit_asks_about_the_last_four_weeks(browser, first):
    page = browser.get(url(first)).content.decode()

    assert "For this elbow, in the last four weeks; 0 for none." in page


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("time_off_work", "400", "400 is not a whole number from 0 to 366."),
        ("time_off_work", "1.5", "1.5 is not a whole number from 0 to 366."),
        (
            "time_off_work",
            "15",
            "15 days are more than the 14 since the last visit, on 2 Mar 2026.",
        ),
        ("global_rating", "7", "7 is not a whole number from -5 to 5."),
        ("item_4", "12", "12 is not a whole number from 0 to 10."),
    ],
)
def test_a_wrong_number_is_told_at_its_field_and_all_else_is_saved(
    browser, second, field, value, sentence
):
    page = answer(browser, second, pain_on_gripping="4", item_1="6", **{field: value})

    assert page.status_code == 422
    assert page.context["form"].errors == {field: [sentence]}
    assert page.content.decode().count(sentence) >= 2
    assert second.pain_ratings.get().value == 4
    assert second.questionnaires.get().answers()[1] == 6


def test_more_than_four_weeks_off_are_refused_at_a_first_visit(browser, first):
    page = answer(browser, first, time_off_work="29")

    assert page.context["form"].errors == {
        "time_off_work": ["29 days are more than the last four weeks have (28)."]
    }
    assert TimeOffWork.objects.count() == 0


@pytest.mark.parametrize(("visit", "most"), [("first", "28"), ("second", "14")])
def test_every_day_of_the_time_asked_about_may_have_been_off(request, browser, visit, most):
    saved(browser, request.getfixturevalue(visit), time_off_work=most)

    assert TimeOffWork.objects.get().value == int(most)


def test_no_days_off_is_an_answer(browser, first):
    saved(browser, first, time_off_work="0")

    assert TimeOffWork.objects.get().value == 0


def test_a_wrong_number_while_typing_is_told_under_its_field(browser, second):
    page = saved(browser, second, time_off_work="400")

    told = page.content.decode()
    assert page.status_code == 422
    assert told.count('id="measures-own-errors" hx-swap-oob="true"') == 1
    assert told.count('id="id_measures-time_off_work_error"') == 1


def due(page):
    return [str(ask) for ask in page.context["measures"].due]


def test_the_page_says_first_what_is_due_today(browser, second):
    page = browser.get(url(second))

    assert due(page) == [
        "the questionnaire, 15 items",
        "pain on gripping",
        "pain-free grip",
        "days off work",
    ]
    text = page.content.decode()
    assert text.index("Due today:") < text.index("measures-pain-head")


def test_what_was_typed_is_due_no_more(browser, second):
    create_pain(visit=second, on_gripping=3)
    create_questionnaire(visit=second)

    page = saved(browser, second, time_off_work="0")

    assert due(page) == ["pain-free grip"]
    assert page.content.decode().count('id="measures-due" hx-swap-oob="true"') == 1


def test_a_signed_visit_shows_the_patients_own_numbers(browser, second, physiotherapist):
    create_activity_ratings(visit=second, ratings=(7, None))
    create_own(visit=second, global_rating=3, time_off_work=0)
    second.sign(by=physiotherapist, at=datetime.datetime(2026, 3, 16, 12, tzinfo=datetime.UTC))

    page = browser.get(url(second)).content.decode()

    rows = [line for line in page.splitlines() if 'scope="row"' in line and 'class="num"' in line]
    told = [row.split('class="num">')[1].split("<")[0] for row in rows]
    assert told == ["7", "+3", "0"]


def test_each_activity_is_compared_by_itself_below(browser, second):
    create_activity_ratings(visit=second, ratings=(5, 5))

    page = browser.get(url(second)).content.decode()

    assert page.count("+3 (+150 %), beyond error (3)") == 1
    assert page.count("+1 (+25 %), within error (3)") == 1
    assert page.count("+2 (+67 %), beyond error (2)") == 2


def test_another_clinics_activities_are_not_rated(browser, first):
    theirs = create_case()
    create_activities("sawing", case=theirs)
    (activity,) = theirs.activities.all()

    saved(browser, first, **{"pain_at_rest": "1"})
    browser.post(
        url(first),
        typed(browser.get(url(first))) | {f"measures-activity_{activity.pk}": "3"},
        **TYPING,
    )

    assert ActivityRating.objects.count() == 0
