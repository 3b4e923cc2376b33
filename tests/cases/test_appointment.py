import datetime

import pytest

from cases.models import Appointment
from clinic.models import AuditEvent
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def booked(physiotherapist):
    return create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))


@pytest.fixture
def today(physiotherapist):
    return create_appointment(practitioner=physiotherapist, starts_at=at(9))


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def move(desk, booked, **changes):
    url = f"/book/{booked.pk}/"
    values = {
        "practitioner": booked.practitioner_id,
        "kind": booked.kind,
        "day": "2026-03-13",
        "start": "10:00",
        "minutes": "30",
        "opened_with": desk.get(url).context["form"].now,
    }
    return desk.post(url, values | changes)


def test_an_appointment_is_moved(desk, booked):
    response = move(desk, booked)

    booked.refresh_from_db()
    assert (booked.starts_at, booked.minutes) == (at(10, day=FRIDAY), 30)
    assert AuditEvent.objects.filter(verb="moved").count() == 1
    assert response.url == f"/book/?day=2026-03-13#booking-{booked.pk}"


def test_an_appointment_may_move_over_its_own_time(desk, booked):
    move(desk, booked, start="09:15")

    booked.refresh_from_db()
    assert booked.starts_at == at(9, 15, day=FRIDAY)


def test_a_move_onto_a_taken_time_is_refused(desk, booked):
    create_appointment(practitioner=booked.practitioner, starts_at=at(10, day=FRIDAY))

    response = move(desk, booked)

    assert response.status_code == 422
    assert response.context["form"].errors == {
        "start": [f"{booked.practitioner} is already booked then. Choose another time."]
    }
    booked.refresh_from_db()
    assert booked.starts_at == at(9, day=FRIDAY)


def test_the_kind_of_one_that_has_begun_may_still_change(today, morning, signed_in, front_desk):
    morning(at(9, 5))

    move(signed_in(front_desk), today, kind="review", day="2026-03-12", start="09:00")

    today.refresh_from_db()
    assert today.kind == "review"


def test_a_move_that_comes_too_late_is_shown_side_by_side(desk, booked):
    url = f"/book/{booked.pk}/"
    opened_with = desk.get(url).context["form"].now
    Appointment.objects.update(starts_at=at(11, day=FRIDAY), ends_at=at(11, 30, day=FRIDAY))

    response = move(desk, booked, opened_with=opened_with)

    conflicts = [(str(c.label), c.theirs, c.mine) for c in response.context["form"].conflicts]
    assert conflicts == [("Starts", datetime.time(11), datetime.time(10))]
    booked.refresh_from_db()
    assert booked.starts_at == at(11, day=FRIDAY)


def test_a_booking_keeps_its_case_when_the_case_has_been_closed(desk, physiotherapist):
    case = create_case(lead=physiotherapist)
    booked = create_appointment(
        practitioner=physiotherapist, patient=case.patient, case=case, starts_at=at(9, day=FRIDAY)
    )
    case.close("discharged", on=THURSDAY, reason="well")

    move(desk, booked, case=case.pk)

    booked.refresh_from_db()
    assert (booked.case, booked.starts_at) == (case, at(10, day=FRIDAY))


@pytest.mark.parametrize("status", ["arrived", "seen", "missed", "cancelled"])
def test_only_what_is_booked_can_be_moved(desk, booked, status):
    booked.mark(status)

    response = move(desk, booked)

    booked.refresh_from_db()
    assert booked.starts_at == at(9, day=FRIDAY)
    page = desk.get(response.url)
    assert [str(message) for message in page.context["messages"]] == [
        f"It can't be moved any more: it is marked as {status}."
    ]


@pytest.mark.parametrize("status", ["seen", "missed"])
def test_an_appointment_is_marked_on_its_day(desk, today, status):
    response = desk.post(f"/book/{today.pk}/mark/", {"status": status, "next": "/"})

    today.refresh_from_db()
    assert (today.status, response.url) == (status, f"/#booking-{today.pk}")
    event = AuditEvent.objects.get()
    assert (event.verb, event.detail) == ("marked", {"status": status})


def test_who_arrives_is_shown_with_what_they_are_given_and_taken_on_from_there(desk, today):
    response = desk.post(f"/book/{today.pk}/mark/", {"status": "arrived", "next": "/"})

    today.refresh_from_db()
    assert (today.status, today.arrived_at) == ("arrived", at(8))
    assert response.url == f"/book/{today.pk}/arrival/?next=%2F%23booking-{today.pk}"


def test_who_has_arrived_has_waited_since_then_until_they_are_seen(today, morning):
    today.mark("arrived")
    morning(at(8, 12))
    today.mark("arrived")

    assert today.minutes_waited == 12
    today.mark("seen")
    assert (today.minutes_waited, today.arrived_at) == (None, at(8))


@pytest.mark.parametrize("status", ["booked", "missed"])
def test_who_was_marked_as_arrived_by_mistake_has_not_arrived(today, status):
    today.mark("arrived")

    today.mark(status)

    assert (today.arrived_at, today.minutes_waited) == (None, None)


def test_a_mark_is_taken_back(desk, booked):
    booked.mark("missed")

    desk.post(f"/book/{booked.pk}/mark/", {"status": "booked"})

    booked.refresh_from_db()
    assert booked.status == "booked"


@pytest.mark.parametrize(
    ("before", "sentence"),
    [
        ("booked", "This appointment is still to come. Mark it on its day."),
        ("cancelled", "A cancelled appointment stays cancelled. Book a new one."),
    ],
)
def test_what_can_not_be_marked_says_why(desk, booked, before, sentence):
    booked.mark(before)

    page = desk.post(f"/book/{booked.pk}/mark/", {"status": "arrived"}, follow=True)

    assert [str(message) for message in page.context["messages"]] == [sentence]
    booked.refresh_from_db()
    assert booked.status == before


@pytest.mark.parametrize("status", ["cancelled", "gone", ""])
def test_a_mark_that_is_none_is_refused(desk, booked, status):
    assert desk.post(f"/book/{booked.pk}/mark/", {"status": status}).status_code == 400


def test_cancelling_keeps_the_entry_with_its_reason_and_frees_the_time(desk, booked):
    response = desk.post(f"/book/{booked.pk}/cancel/", {"reason": "has a cold"})

    booked.refresh_from_db()
    assert (booked.status, booked.cancel_reason) == ("cancelled", "has a cold")
    assert AuditEvent.objects.get().verb == "cancelled"
    assert response.url == "/book/?day=2026-03-13"
    create_appointment(practitioner=booked.practitioner, starts_at=booked.starts_at)


def test_cancelling_needs_a_reason(desk, booked):
    response = desk.post(f"/book/{booked.pk}/cancel/", {"reason": " "})

    assert response.status_code == 422
    assert response.context["form"].errors == {
        "reason": ["Say in a few words why it is cancelled."]
    }
    booked.refresh_from_db()
    assert booked.status == "booked"


def test_what_is_over_can_not_be_cancelled(desk, booked):
    booked.mark("seen")

    desk.post(f"/book/{booked.pk}/cancel/", {"reason": "too late"})

    booked.refresh_from_db()
    assert booked.status == "seen"


@pytest.mark.parametrize(
    ("method", "path"), [("get", ""), ("get", "cancel/"), ("post", "mark/"), ("post", "cancel/")]
)
def test_an_appointment_of_another_clinic_does_not_exist(desk, method, path):
    other = create_appointment(starts_at=at(9, day=FRIDAY))

    assert getattr(desk, method)(f"/book/{other.pk}/{path}").status_code == 404


@pytest.mark.parametrize(("method", "path"), [("get", "mark/"), ("delete", ""), ("put", "cancel/")])
def test_other_methods_are_refused(desk, booked, method, path):
    assert getattr(desk, method)(f"/book/{booked.pk}/{path}").status_code == 405


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_open_an_appointment(request, signed_in, booked, role):
    assert signed_in(request.getfixturevalue(role)).get(f"/book/{booked.pk}/").status_code == 200


def test_what_reaches_into_a_day_is_found_however_long_it_is(physiotherapist):
    """Only what begins near the day is looked at: the longest that the database allows."""
    midnight = at(0, day=FRIDAY)
    longest = create_appointment(
        practitioner=physiotherapist,
        starts_at=midnight - datetime.timedelta(minutes=239),
        minutes=240,
    )
    create_appointment(
        practitioner=physiotherapist, starts_at=midnight - datetime.timedelta(hours=9), minutes=240
    )

    found = Appointment.objects.overlapping(midnight, midnight + datetime.timedelta(days=1))

    assert list(found) == [longest]
