"""Two desks see each other's changes: a page of the book asks whether there is anything new."""

import datetime
import re

import pytest
from django.test import Client

from cases.models import Appointment
from clinic.models import Absence, ClosedDay, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_manager, create_physiotherapist

# On PostgreSQL the revision is raised when a transaction commits, so these tests commit theirs.
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def booked(physiotherapist):
    return create_appointment(practitioner=physiotherapist, starts_at=at(9))


@pytest.fixture
def desk(booked, front_desk, signed_in):
    return signed_in(front_desk)


PAGES = ["/book/?day=2026-03-12", "/book/week/?day=2026-03-09", "/?on=2026-03-12"]


def look(desk, address):
    """Open a page; return a function that asks whether there is anything new, as the page does."""
    seen = re.search(r'name="seen" value="([^"]+)"', desk.get(address).content.decode())[1]

    def again():
        return desk.get(f"{address}&seen={seen}", headers={"HX-Request": "true"})

    return again


@pytest.mark.parametrize("address", PAGES)
def test_while_nothing_has_changed_the_answer_is_empty_and_costs_one_look(
    desk, address, django_assert_num_queries
):
    again = look(desk, address)

    with django_assert_num_queries(2):  # the session with its person, the revision of the book
        answer = again()

    assert (answer.status_code, answer.content) == (204, b"")


@pytest.mark.parametrize("address", PAGES)
def test_what_another_desk_does_is_seen_with_the_next_look(desk, booked, manager, address):
    again = look(desk, address)
    other = Client()
    other.force_login(manager)

    other.post(f"/book/{booked.pk}/mark/", {"status": "arrived"})

    answer = again()
    page = answer.content.decode()
    assert answer.status_code == 200
    assert f"seen-{booked.pk}" in page or 'class="arrived"' in page
    assert "<html" not in page
    assert 'id="lead" hx-swap-oob="true"' in page


CHANGES = {
    "somebody is booked": lambda booked: create_appointment(
        practitioner=booked.practitioner, patient=booked.patient, starts_at=at(11)
    ),
    "somebody is away": lambda booked: Absence.objects.create(
        staff=booked.practitioner, starts_at=at(12), ends_at=at(13)
    ),
    "a day is closed": lambda booked: ClosedDay.objects.create(
        clinic=booked.clinic, day=THURSDAY, name="Boat day"
    ),
    "other hours": lambda booked: OpeningHours.objects.update(closes=datetime.time(17)),
    "moved past the model": lambda booked: Appointment.objects.filter(pk=booked.pk).update(
        ends_at=at(10)
    ),
}


def test_every_change_of_the_book_is_new(desk, booked):
    """One test over all changes: emptying the tables between tests takes longer than they do."""
    missed = []
    for name, change in CHANGES.items():
        again = look(desk, "/book/?day=2026-03-12")
        change(booked)
        if again().status_code != 200:
            missed.append(name)

    assert missed == []


def test_what_happens_in_another_clinic_is_nothing_new(desk):
    again = look(desk, "/book/?day=2026-03-12")

    create_appointment(practitioner=create_physiotherapist(), starts_at=at(9))

    assert again().status_code == 204


def test_time_that_passes_is_something_new(desk, morning):
    again = look(desk, "/book/?day=2026-03-12")

    morning(at(8, 14))
    assert again().status_code == 204
    morning(at(8, 15))
    assert again().status_code == 200


def test_today_says_each_minute_how_long_somebody_waits(booked, physiotherapist, client, morning):
    booked.mark("arrived")
    client.force_login(physiotherapist)
    again = look(client, "/?on=2026-03-12")

    morning(at(8, 7))

    page = again().content.decode()
    assert "since 08:00, 7 min" in page
    assert "<strong>1</strong> has arrived and waits." in page


def test_the_next_day_the_page_of_today_is_opened_anew(front_desk, client, morning):
    morning(at(23, 55))
    client.force_login(front_desk)
    again = look(client, "/?on=2026-03-12")

    morning(at(0, day=FRIDAY))

    assert again().headers["HX-Refresh"] == "true"


def test_a_week_of_somebody_who_has_left_is_opened_anew(desk, booked):
    again = look(desk, f"/book/week/?who={booked.practitioner_id}&day=2026-03-09")

    booked.practitioner.is_active = False
    booked.practitioner.save()
    booked.mark("missed")

    assert again().headers["HX-Refresh"] == "true"


def test_a_page_whose_person_has_signed_out_leads_to_signing_in(desk):
    again = look(desk, "/book/?day=2026-03-12")

    desk.logout()

    assert again().headers["HX-Redirect"].startswith("/sign-in/")


def test_a_page_that_is_opened_is_never_empty(desk):
    create_manager()
    seen = re.search(r'name="seen" value="([^"]+)"', desk.get("/book/").content.decode())[1]

    assert desk.get("/book/", {"seen": seen}).status_code == 200
