"""A form that is sent after the session has ended is held, and comes back to the one who typed it."""

import pytest
from django.test import Client
from django.utils import timezone

from cases.models import Patient
from clinic.models import HeldForm, held_form
from tests.factories.clinic import PASSWORD, create_front_desk

pytestmark = pytest.mark.django_db

NEW = "/patients/new/"
TYPED = {"given_name": "Marit", "family_name": "Oyelaran", "born": "1981-05-04"}


def sign_in(client, staff, wanted="/"):
    return client.post(
        "/sign-in/", {"username": staff.username, "password": PASSWORD, "next": wanted}
    )


@pytest.fixture
def too_late(client, front_desk):
    """A client whose session has ended while its front desk was typing; the form has been sent."""
    sign_in(client, front_desk)
    del client.cookies["sessionid"]
    client.sent = client.post(NEW, TYPED)
    return client


def family_name(response):
    return response.context["form"]["family_name"].value()


def test_one_is_asked_to_sign_in_and_told_that_the_form_is_held(too_late):
    page = too_late.get(too_late.sent.url)

    assert too_late.sent.url == f"/sign-in/?next={NEW}"
    assert page.context["held"] is True
    assert "Nothing is lost" in page.content.decode()


def test_the_form_comes_back_filled_in_and_nothing_is_saved_unasked(too_late, front_desk):
    onward = sign_in(too_late, front_desk, NEW).url

    assert (onward, family_name(too_late.get(onward))) == (NEW, "Oyelaran")
    assert not Patient.objects.exists()


def test_it_comes_back_once(too_late, front_desk):
    sign_in(too_late, front_desk)
    too_late.get(NEW)

    assert family_name(too_late.get(NEW)) is None


def test_another_page_does_not_get_it(too_late, front_desk):
    sign_in(too_late, front_desk)
    too_late.get("/patients/")

    assert family_name(too_late.get(NEW)) == "Oyelaran"


def test_somebody_else_at_the_same_machine_does_not_get_it(too_late, front_desk):
    sign_in(too_late, create_front_desk(clinic=front_desk.clinic))

    assert family_name(too_late.get(NEW)) is None


def test_a_form_of_nobody_known_is_not_held(client):
    client.post(NEW, TYPED)

    assert client.get("/sign-in/").context["held"] is False


def test_a_form_without_measure_is_not_held(client, front_desk, monkeypatch):
    monkeypatch.setattr(held_form, "LONGEST", 10)
    sign_in(client, front_desk)
    del client.cookies["sessionid"]
    client.post(NEW, TYPED)

    assert client.get("/sign-in/").context["held"] is False


def test_a_form_that_saves_itself_is_led_to_signing_in_as_a_whole_page(client, front_desk):
    sign_in(client, front_desk)
    del client.cookies["sessionid"]

    response = client.post(
        NEW,
        TYPED,
        headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/patients/new/?a=b"},
    )

    assert response["HX-Redirect"] == "/sign-in/?next=%2Fpatients%2Fnew%2F%3Fa%3Db"
    assert client.get("/sign-in/").context["held"] is True


def test_forms_of_several_pages_are_held_and_each_comes_back(client, front_desk):
    sign_in(client, front_desk)
    del client.cookies["sessionid"]
    client.post(NEW, TYPED)
    client.post("/book/absences/", {"note": "x"})
    sign_in(client, front_desk)

    assert sorted(client.session["held_forms"]) == ["/book/absences/", NEW]
    assert family_name(client.get(NEW)) == "Oyelaran"


def test_it_comes_back_at_another_browser_of_the_same_person(too_late, front_desk):
    other = Client()
    sign_in(other, front_desk)

    assert family_name(other.get(NEW)) == "Oyelaran"


def test_a_password_and_the_token_of_a_form_are_never_held(client, front_desk):
    sign_in(client, front_desk)
    del client.cookies["sessionid"]
    client.post("/clinic/", {"new_password1": "x"})
    client.post(NEW, TYPED | {"csrfmiddlewaretoken": "t"})

    assert [held.path for held in HeldForm.objects.all()] == [NEW]
    assert "csrf" not in HeldForm.objects.get().text


def test_what_nobody_came_back_for_is_gone_after_a_week(too_late, front_desk):
    HeldForm.objects.update(at=timezone.now() - held_form.KEPT)

    assert too_late.get("/sign-in/").context["held"] is False
    sign_in(too_late, front_desk)
    assert family_name(too_late.get(NEW)) is None


def test_of_one_person_the_newest_twenty_are_held(front_desk):
    for number in range(held_form.MOST + 2):
        HeldForm.objects.hold(front_desk.pk, f"/{number}/", "a=1")

    assert HeldForm.objects.of(front_desk).count() == held_form.MOST
    assert not HeldForm.objects.of(front_desk).filter(path__in=["/0/", "/1/"]).exists()
