"""The page of the opening hours."""

import datetime

import pytest

from clinic.models import AuditEvent, OpeningHours
from tests.cases.conftest import at
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_clinic
from tests.pages import typed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

PAGE = "/clinic/hours/"


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def send(browser, **changes):
    """Save the page as it is, but for `changes` such as mon_0="09:00-12:00"."""
    values = typed(browser.get(PAGE))
    for name, text in changes.items():
        day, number = name.split("_")
        weekday = ("mon", "tue", "wed", "thu", "fri", "sat", "sun").index(day)
        opens, closes = text.split("-")
        values |= {f"{weekday}-{number}-opens": opens, f"{weekday}-{number}-closes": closes}
    return browser.post(PAGE, values)


def on_record(clinic, weekday=0):
    return [
        f"{row.opens:%H:%M}-{row.closes:%H:%M}"
        for row in OpeningHours.objects.of(clinic)
        if row.weekday == weekday
    ]


def errors(answer):
    assert answer.status_code == 422
    return dict(answer.context["form"].errors)


def test_the_page_opens_with_what_is_on_record(desk, manager):
    form = desk.get(PAGE).context["form"]

    assert form["0-0-opens"].value() == datetime.time(8)
    assert form["6-0-closes"].value() == datetime.time(18)
    assert form["0-1-opens"].value() is None


def test_a_break_at_noon_is_two_openings(desk, manager):
    answer = send(desk, mon_0="08:00-12:00", mon_1="13:00-18:00")

    assert answer.url == PAGE
    assert on_record(manager.clinic) == ["08:00-12:00", "13:00-18:00"]
    assert on_record(manager.clinic, weekday=1) == ["08:00-18:00"]


def test_an_emptied_day_is_closed(desk, manager):
    send(desk, sun_0="-")

    assert on_record(manager.clinic, weekday=6) == []


def test_the_trail_says_which_days_changed(desk, manager):
    send(desk, mon_0="09:00-18:00", sun_0="-")

    event = AuditEvent.objects.get()
    assert (event.verb, event.object_id, event.detail) == (
        "changed",
        manager.clinic_id,
        {"fields": ["opening hours"], "days": ["monday", "sunday"]},
    )


def test_a_save_that_changes_nothing_leaves_no_trace(desk):
    send(desk)

    assert not AuditEvent.objects.exists()


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"mon_0": "08:00-"}, "0-0-opens", "Enter both times, or neither."),
        ({"mon_1": "-18:00"}, "0-1-opens", "Enter both times, or neither."),
        ({"mon_0": "12:00-12:00"}, "0-0-opens", "The clinic can't close before it opens."),
        ({"mon_0": "18:00-08:00"}, "0-0-opens", "The clinic can't close before it opens."),
        (
            {"mon_0": "08:00-12:00", "mon_1": "11:45-18:00"},
            "0-1-opens",
            "The opening above it ends later than this one begins.",
        ),
        (
            {"mon_0": "soon-12:00"},
            "0-0-opens",
            "Enter the time as hours and minutes, for example 09:30.",
        ),
    ],
)
def test_what_can_not_be_is_answered_at_its_field(desk, manager, changes, field, sentence):
    assert errors(send(desk, **changes)) == {field: [sentence]}
    assert on_record(manager.clinic) == ["08:00-18:00"]


def test_more_openings_than_two_stay_and_can_be_changed(desk, manager):
    OpeningHours.objects.of(manager.clinic).filter(weekday=0).delete()
    for opens, closes in ((8, 10), (11, 13), (14, 18)):
        OpeningHours.objects.create(
            clinic=manager.clinic,
            weekday=0,
            opens=datetime.time(opens),
            closes=datetime.time(closes),
        )

    send(desk, mon_2="14:00-17:00")

    assert on_record(manager.clinic) == ["08:00-10:00", "11:00-13:00", "14:00-17:00"]


def test_bookings_outside_the_new_hours_are_shown_next(desk, physiotherapist):
    monday = datetime.date(2026, 3, 16)
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=monday))

    answer = send(desk, mon_0="10:00-18:00")

    assert answer.url == "/book/to-move/"
    assert "1 booking no longer fits" in desk.get(answer.url).content.decode()


def test_a_save_that_comes_too_late_overwrites_nothing(desk, manager):
    opened = typed(desk.get(PAGE), {"0-0-opens": "09:00"})
    OpeningHours.objects.of(manager.clinic).filter(weekday=0).update(opens=datetime.time(7))

    answer = desk.post(PAGE, opened)

    conflicts = [(row.theirs, row.mine) for row in answer.context["form"].conflicts]
    assert conflicts == [(datetime.time(7), datetime.time(9))]
    assert on_record(manager.clinic) == ["07:00-18:00"]


def test_another_clinics_hours_stay(desk):
    other = create_clinic()

    send(desk, mon_0="09:00-18:00")

    assert on_record(other) == ["08:00-18:00"]


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_opens_the_page(request, signed_in, role, status):
    browser = signed_in(request.getfixturevalue(role))

    assert browser.get(PAGE).status_code == status
    assert browser.post(PAGE, {"0-0-opens": "x"}).status_code == (422 if status == 200 else 403)


def test_other_methods_are_refused(desk):
    assert desk.delete(PAGE).status_code == 405
