"""A booking changed straight from the book: moved, made longer or shorter; the rest of it stays."""

import datetime

import pytest

from cases.models import Appointment
from clinic.models import AuditEvent, OpeningHours
from tests.cases.conftest import at
from tests.factories.cases import create_appointment, create_case
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def booked(physiotherapist):
    case = create_case(lead=physiotherapist)
    return create_appointment(
        practitioner=physiotherapist,
        patient=case.patient,
        case=case,
        kind="review",
        starts_at=at(9, day=FRIDAY),
    )


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def change(desk, booked, **changes):
    return desk.post(f"/book/{booked.pk}/change/", {"sequence": booked.sequence} | changes)


def times(booked):
    booked.refresh_from_db()
    return booked.starts_at, booked.minutes


def errors(response):
    return response.context["form"].errors


@pytest.mark.parametrize("minutes", [45, 15])
def test_a_booking_is_made_longer_and_shorter(desk, booked, minutes):
    response = change(desk, booked, minutes=minutes)

    assert times(booked) == (at(9, day=FRIDAY), minutes)
    assert response.url == f"/book/{booked.pk}/"
    assert AuditEvent.objects.get().verb == "moved"


def test_a_booking_drawn_to_another_place_keeps_the_rest(desk, booked, physiotherapist):
    colleague = create_physiotherapist(clinic=physiotherapist.clinic)
    page = "/book/week/?day=2026-03-09"

    response = change(
        desk, booked, practitioner=colleague.pk, day="2026-03-16", start="10:30", next=page
    )

    assert times(booked) == (at(10, 30, day=datetime.date(2026, 3, 16)), 30)
    assert (booked.practitioner, booked.kind, booked.case.patient) == (
        colleague,
        "review",
        booked.patient,
    )
    assert response.url == f"{page}#booking-{booked.pk}"


def test_a_change_into_a_taken_time_is_refused_with_a_sentence(desk, booked):
    create_appointment(practitioner=booked.practitioner, starts_at=at(9, 30, day=FRIDAY))

    response = change(desk, booked, minutes=45)

    assert errors(response) == {
        "start": [f"{booked.practitioner} is already booked then. Choose another time."]
    }
    assert times(booked) == (at(9, day=FRIDAY), 30)


def test_a_change_past_closing_is_refused_with_a_sentence(desk, booked):
    OpeningHours.objects.update(closes=datetime.time(9, 30))

    response = change(desk, booked, minutes=45)

    assert errors(response) == {"start": ["The clinic is open 08:00–09:30 on Friday."]}


def test_a_change_that_comes_too_late_is_shown_side_by_side(desk, booked):
    """Somebody else has moved the booking since the page was drawn."""
    Appointment.objects.update(
        starts_at=at(11, day=FRIDAY), ends_at=at(11, 30, day=FRIDAY), sequence=1
    )

    response = change(desk, booked, start="10:00")

    assert errors(response) == {
        "__all__": ["Somebody else has saved this meanwhile. Compare, then save again."]
    }
    conflicts = [(str(c.label), c.theirs, c.mine) for c in response.context["form"].conflicts]
    assert conflicts == [("Starts", datetime.time(11), datetime.time(10))]
    assert times(booked) == (at(11, day=FRIDAY), 30)


@pytest.mark.parametrize("status", ["arrived", "seen", "missed", "cancelled"])
def test_what_is_not_booked_any_more_is_not_moved_and_says_why(desk, booked, status):
    booked.mark(status)

    page = desk.get(change(desk, booked, start="10:00").url)

    assert times(booked) == (at(9, day=FRIDAY), 30)
    assert [str(message) for message in page.context["messages"]] == [
        f"It can't be moved any more: it is marked as {status}."
    ]


def test_who_is_here_already_may_take_longer(physiotherapist, morning, signed_in, front_desk):
    today = create_appointment(practitioner=physiotherapist, starts_at=at(9))
    morning(at(9, 10))
    today.mark("arrived")

    change(signed_in(front_desk), today, minutes=45)

    assert times(today) == (at(9), 45)


def test_who_is_here_already_may_not_take_somebody_elses_time(desk, booked):
    create_appointment(practitioner=booked.practitioner, starts_at=at(9, 30, day=FRIDAY))
    booked.mark("arrived")

    page = desk.get(change(desk, booked, minutes=45).url)

    assert [str(message) for message in page.context["messages"]] == [
        f"{booked.practitioner} is already booked then. Choose another time."
    ]
    assert times(booked) == (at(9, day=FRIDAY), 30)


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("minutes", "0", "An appointment takes at least 5 minutes."),
        ("minutes", "999", "An appointment takes at most 240 minutes."),
        ("minutes", "long", "Enter whole minutes."),
        ("day", "soon", "Enter the day as year-month-day, for example 2026-03-12."),
        ("day", "9999-12-31", "This is more than three years off. Check the year."),
        ("day", "2026-03-11", "This time is over. Choose one that is still to come."),
        ("start", "half past", "Enter the time as hours and minutes, for example 09:30."),
        ("practitioner", "999", "Choose a practitioner of this clinic."),
    ],
)
def test_nonsense_is_refused_with_a_sentence_at_its_field(desk, booked, field, value, sentence):
    response = change(desk, booked, **{field: value})

    assert errors(response) == {field: [sentence]}
    assert times(booked) == (at(9, day=FRIDAY), 30)


def test_a_booking_of_another_clinic_is_not_there(desk):
    other = create_appointment(starts_at=at(9, day=FRIDAY))

    assert change(desk, other, minutes=45).status_code == 404


def test_a_change_is_posted(desk, booked):
    assert desk.get(f"/book/{booked.pk}/change/").status_code == 405


def test_the_page_of_an_appointment_offers_a_quarter_of_an_hour_more_and_less(desk, booked):
    page = desk.get(f"/book/{booked.pk}/").content.decode()

    assert 'name="minutes" value="45">15 min longer' in page
    assert 'name="minutes" value="15">15 min shorter' in page
