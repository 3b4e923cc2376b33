"""One's own account: the page, and changing the password.

OWASP ASVS 5.0: 6.2.2 and 6.2.3 ask that it can be changed, with the password of today; 7.4.3 that other
sessions end.
"""

import pytest
from django.test import Client

from clinic.models import AuditEvent, HeldForm
from tests.factories.clinic import PASSWORD, create_front_desk

pytestmark = pytest.mark.django_db

PAGE, CHANGE = "/account/", "/account/password/"
OLD, NEW = PASSWORD, "otter ladle violet thunder"


def fields(old=OLD, new=NEW, again=None):
    return {"old_password": old, "new_password1": new, "new_password2": again or new}


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_has_an_account_of_their_own(request, signed_in, role):
    staff = request.getfixturevalue(role)

    page = signed_in(staff).get(PAGE).content.decode()

    assert [word for word in (str(staff), staff.username, staff.role) if word not in page] == []


def test_the_name_on_every_page_leads_there(signed_in, front_desk):
    assert f'<a href="{PAGE}" >{front_desk}</a>' in signed_in(front_desk).get("/").content.decode()


def test_who_is_not_signed_in_has_none(client):
    assert client.get(PAGE).url == f"/sign-in/?next={PAGE}"
    assert client.get(CHANGE).url == f"/sign-in/?next={CHANGE}"


def test_the_new_password_opens_and_the_old_one_does_not(signed_in, front_desk):
    answer = signed_in(front_desk).post(CHANGE, fields())

    front_desk.refresh_from_db()
    assert (answer.status_code, answer.url) == (302, PAGE)
    assert (front_desk.check_password(NEW), front_desk.check_password(OLD)) == (True, False)
    assert [(event.actor, event.verb) for event in AuditEvent.objects.all()] == [
        (front_desk, "changed the password")
    ]


def test_sessions_elsewhere_end_and_this_one_goes_on(signed_in, front_desk):
    elsewhere = Client()
    elsewhere.force_login(front_desk)
    here = signed_in(front_desk)
    before = here.session.session_key

    here.post(CHANGE, fields())

    assert elsewhere.get("/").status_code == 302
    assert here.get("/").status_code == 200
    assert here.session.session_key != before


@pytest.mark.parametrize(
    ("typed", "errors"),
    [
        (fields(old=""), {"old_password": ["Enter your password of today."]}),
        (fields(old=NEW), {"old_password": ["This isn't your password of today."]}),
        (
            fields(again="otter ladle violet"),
            {"new_password2": ["The two don't match. Type the new one twice."]},
        ),
        (
            {"old_password": OLD},
            {
                "new_password1": ["Enter a new password."],
                "new_password2": ["Type the new password once more."],
            },
        ),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_changes(
    signed_in, front_desk, typed, errors
):
    answer = signed_in(front_desk).post(CHANGE, typed)

    front_desk.refresh_from_db()
    assert (answer.status_code, answer.context["form"].errors) == (422, errors)
    assert front_desk.check_password(OLD)


def test_a_password_that_will_not_do_is_answered_with_the_reason(signed_in, front_desk):
    answer = signed_in(front_desk).post(CHANGE, fields(new="Ida Solvang 2026"))

    (error,) = answer.context["form"].errors["new_password1"]
    assert error.startswith("Everybody here would try “solvang ida”")


def test_a_long_password_is_taken_whole(signed_in, front_desk):
    long = "otter ladle violet thunder " * 8 + "end"
    signed_in(front_desk).post(CHANGE, fields(new=long))

    front_desk.refresh_from_db()
    assert (front_desk.check_password(long), front_desk.check_password(long[:-1])) == (True, False)


def test_guessing_the_password_of_today_makes_one_wait_as_at_the_front_door(signed_in, front_desk):
    client = signed_in(front_desk)

    answers = [client.post(CHANGE, fields(old="wrong")).status_code for _try in range(6)]

    assert answers == [422, 422, 422, 422, 429, 429]
    assert client.post(CHANGE, fields()).status_code == 429
    front_desk.refresh_from_db()
    assert front_desk.check_password(OLD)


def test_a_password_is_never_sent_back_to_the_page(signed_in, front_desk):
    page = signed_in(front_desk).post(CHANGE, fields(again="another")).content.decode()

    assert [word for word in (OLD, NEW) if word in page] == []


def test_the_fields_tell_a_password_manager_what_they_are(signed_in, front_desk):
    form = signed_in(front_desk).get(CHANGE).context["form"]

    told = [form.fields[name].widget.attrs["autocomplete"] for name in form.fields]
    assert told == ["current-password", "new-password", "new-password"]


def test_a_password_that_comes_without_a_session_is_not_held(client):
    """Other forms are kept until their typist has signed in again."""
    staff = create_front_desk()
    client.post("/sign-in/", {"username": staff.username, "password": OLD})
    del client.cookies["sessionid"]
    client.post(CHANGE, fields())

    assert client.get("/sign-in/").context["held"] is False
    assert not HeldForm.objects.exists()
