"""The page of the days on which the clinic is closed."""

import datetime

import pytest

from clinic.models import AuditEvent, ClosedDay
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_clinic

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)
PAGE = "/clinic/closed-days/"


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def typed(**changes):
    return {"day": "2026-03-13", "name": "Boat day"} | changes


@pytest.fixture
def boat_day(manager):
    return ClosedDay.objects.create(clinic=manager.clinic, day=FRIDAY, name="Boat day")


def test_a_day_is_closed_and_written_down(desk, manager):
    answer = desk.post(PAGE, typed())

    closed = ClosedDay.objects.get()
    event = AuditEvent.objects.get()
    assert (closed.clinic, closed.day, closed.name) == (manager.clinic, FRIDAY, "Boat day")
    assert (event.verb, event.object_id, event.detail) == (
        "closed a day",
        closed.pk,
        {"day": "2026-03-13"},
    )
    assert answer.url == f"{PAGE}#id_day"
    assert "Closed on 13 Mar 2026: Boat day." in desk.get(PAGE).content.decode()


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"day": ""}, "day", "Enter the day."),
        ({"day": "Friday"}, "day", "Enter the day as year-month-day, for example 2026-12-25."),
        ({"day": "2026-03-11"}, "day", "This day is over. Check the year."),
        ({"day": "2062-03-13"}, "day", "This is more than three years off. Check the year."),
        ({"name": " "}, "name", "Say why the clinic is closed."),
    ],
)
def test_what_can_not_be_is_answered_at_its_field(desk, changes, field, sentence):
    answer = desk.post(PAGE, typed(**changes))

    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [sentence]})
    assert not ClosedDay.objects.exists()


def test_today_may_still_be_closed(desk):
    desk.post(PAGE, typed(day="2026-03-12"))

    assert ClosedDay.objects.get().day == THURSDAY


def test_a_day_is_on_the_list_once(desk, boat_day):
    answer = desk.post(PAGE, typed(name="Fair"))

    assert answer.context["form"].errors == {"day": ["This day is on the list already."]}


def test_another_clinics_day_is_no_hindrance(desk):
    ClosedDay.objects.create(clinic=create_clinic(), day=FRIDAY, name="Fair")

    assert desk.post(PAGE, typed()).status_code == 302


def test_whoever_is_booked_on_the_day_is_shown_next(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))

    answer = desk.post(PAGE, typed())

    assert answer.url == "/book/to-move/"
    assert (
        "1 booking no longer fits and needs another time." in desk.get(answer.url).content.decode()
    )


def test_the_list_says_who_is_booked_on_each_day(desk, physiotherapist, boat_day):
    clinic = physiotherapist.clinic
    quiet = ClosedDay.objects.create(clinic=clinic, day=datetime.date(2026, 4, 3), name="Fair")
    past = ClosedDay.objects.create(clinic=clinic, day=datetime.date(2026, 1, 1), name="New Year")
    for hour, status in ((9, "booked"), (10, "booked"), (11, "cancelled")):
        start = at(hour, day=FRIDAY)
        create_appointment(practitioner=physiotherapist, starts_at=start, status=status)

    context = desk.get(PAGE).context

    assert context["coming"] == [(boat_day, 2), (quiet, 0)]
    assert list(context["past"]) == [past]


def test_a_day_is_opened_again(desk, boat_day):
    answer = desk.post(f"{PAGE}{boat_day.pk}/open/")

    event = AuditEvent.objects.get()
    assert not ClosedDay.objects.exists()
    assert (event.verb, event.object_id) == ("opened a day again", boat_day.pk)
    assert answer.url == PAGE


def test_a_day_of_another_clinic_stays_closed(desk):
    theirs = ClosedDay.objects.create(clinic=create_clinic(), day=FRIDAY, name="Fair")

    assert desk.post(f"{PAGE}{theirs.pk}/open/").status_code == 404
    assert ClosedDay.objects.exists()


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_opens_the_page(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_nobody_else_closes_or_opens_a_day(request, signed_in, role, boat_day):
    browser = signed_in(request.getfixturevalue(role))

    assert browser.post(PAGE, typed(day="2026-04-03")).status_code == 403
    assert browser.post(f"{PAGE}{boat_day.pk}/open/").status_code == 403
    assert ClosedDay.objects.get() == boat_day


@pytest.mark.parametrize("rows", [1, 3])
def test_the_page_costs_the_same_however_many_days(
    desk, physiotherapist, rows, django_assert_num_queries
):
    for row in range(rows):
        day = FRIDAY + datetime.timedelta(days=row)
        ClosedDay.objects.create(clinic=physiotherapist.clinic, day=day, name="Fair")
        create_appointment(practitioner=physiotherapist, starts_at=at(9, day=day))

    with django_assert_num_queries(8):
        desk.get(PAGE)
