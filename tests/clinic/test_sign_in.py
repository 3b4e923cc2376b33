import pytest
from django.conf import settings

from clinic.models import AuditEvent
from tests.factories.clinic import PASSWORD, create_physiotherapist

pytestmark = pytest.mark.django_db

PAGE = "/sign-in/"


def typed(staff, **changes):
    return {"username": staff.username, "password": PASSWORD} | changes


def test_signing_in_leads_to_the_day_and_is_written_down(client, physiotherapist):
    response = client.post(PAGE, typed(physiotherapist))

    assert response.url == "/"
    assert [(event.actor, event.verb) for event in AuditEvent.objects.all()] == [
        (physiotherapist, "signed in")
    ]


@pytest.mark.parametrize(
    ("wanted", "reached"),
    [
        ("/due/", "/due/"),
        ("https://example.org/", "/"),
        ("//example.org/", "/"),
        ("javascript:alert(1)", "/"),
    ],
)
def test_one_reaches_the_page_that_one_wanted_if_it_is_on_this_site(
    client, physiotherapist, wanted, reached
):
    assert client.post(PAGE, typed(physiotherapist, next=wanted)).url == reached


@pytest.mark.parametrize(
    ("changes", "errors"),
    [
        ({"username": ""}, {"username": ["Enter your name for signing in."]}),
        ({"password": ""}, {"password": ["Enter your password."]}),
        (
            {"password": "wrong"},
            {
                "password": [
                    "This name and password don't belong together. Capital letters count in both."
                ]
            },
        ),
    ],
)
def test_what_is_wrong_is_said_at_its_field(client, physiotherapist, changes, errors):
    response = client.post(PAGE, typed(physiotherapist, **changes))

    assert response.context["form"].errors == errors
    assert "sessionid" not in client.cookies


def test_a_closed_account_stays_outside(client):
    gone = create_physiotherapist(is_active=False)

    assert not client.post(PAGE, typed(gone)).context["form"].is_valid()


def test_who_is_signed_in_already_goes_on(physiotherapist, signed_in):
    assert signed_in(physiotherapist).get(PAGE, {"next": "/due/"}).url == "/due/"


def test_the_page_is_kept_in_no_cache_and_its_cookies_are_closed(client, physiotherapist):
    client.post(PAGE, typed(physiotherapist))

    for name in (settings.SESSION_COOKIE_NAME, "typist"):
        assert (client.cookies[name]["httponly"], client.cookies[name]["samesite"]) == (True, "Lax")
    assert client.get("/due/")["Cache-Control"] == "no-store"


def test_signing_out_ends_the_session_and_is_written_down(physiotherapist, signed_in):
    client = signed_in(physiotherapist)

    assert client.post("/sign-out/").url == PAGE
    assert client.get("/").url == "/sign-in/?next=/"
    assert AuditEvent.objects.get().verb == "signed out"


def test_signing_out_by_a_link_is_refused(physiotherapist, signed_in):
    assert signed_in(physiotherapist).get("/sign-out/").status_code == 405
