"""When a session ends: nobody there, or signed in all day (OWASP ASVS 5.0, 7.2.4, 7.3.1, 7.3.2)."""

import datetime
import io

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.db.models import F
from django.test import Client
from django.utils import timezone

from clinic.models import AuditEvent, Clinic, HeldForm, OpenSession
from clinic.models.held_form import KEPT
from clinic.typed import typist_mark
from tests.factories.clinic import PASSWORD, create_physiotherapist

pytestmark = pytest.mark.django_db

OUTSIDE = "/sign-in/?next=/due/"


def minutes(number):
    return datetime.timedelta(minutes=number)


@pytest.fixture
def browser(client, physiotherapist):
    client.post("/sign-in/", {"username": physiotherapist.username, "password": PASSWORD})
    return client


def let_pass(**since):
    """Move what the sessions remember back: `seen_at` or `began_at` by a time."""
    OpenSession.objects.update(**{name: F(name) - ago for name, ago in since.items()})


def is_inside(browser):
    answer = browser.get("/due/")
    assert answer.status_code == 200 or answer.url == OUTSIDE
    return answer.status_code == 200


def test_signing_in_gives_a_new_token(client, physiotherapist):
    client.session["anything"] = 1
    client.session.save()
    before = client.cookies["sessionid"].value

    client.post("/sign-in/", {"username": physiotherapist.username, "password": PASSWORD})

    assert client.cookies["sessionid"].value != before
    assert list(OpenSession.objects.values_list("pk", "staff")) == [
        (client.cookies["sessionid"].value, physiotherapist.pk)
    ]


@pytest.mark.parametrize(("idle", "inside"), [(29, True), (30, False)])
def test_a_session_that_nobody_uses_ends(browser, idle, inside):
    let_pass(seen_at=minutes(idle))

    assert is_inside(browser) is inside


@pytest.mark.parametrize(("hours", "inside"), [(11.9, True), (12, False)])
def test_a_session_ends_after_the_day_however_busy(browser, hours, inside):
    let_pass(began_at=datetime.timedelta(hours=hours))

    assert is_inside(browser) is inside


def test_each_clinic_sets_its_own_limits_and_they_hold_at_once(browser, physiotherapist):
    Clinic.objects.update(idle_minutes=5)
    let_pass(seen_at=minutes(6))

    assert not is_inside(browser)


@pytest.mark.parametrize(
    ("name", "value"),
    [("idle_minutes", 4), ("idle_minutes", 31), ("session_hours", 0), ("session_hours", 13)],
)
def test_no_clinic_goes_beyond_what_the_standard_allows(physiotherapist, name, value):
    with pytest.raises(IntegrityError, match=f"clinic_{name}_in_range"), transaction.atomic():
        Clinic.objects.update(**{name: value})
    clinic = physiotherapist.clinic
    setattr(clinic, name, value)
    with pytest.raises(ValidationError) as refused:
        clinic.full_clean()
    assert list(refused.value.message_dict) == [name]


def test_the_end_is_the_servers_and_written_down(browser, physiotherapist):
    token = browser.cookies["sessionid"].value
    let_pass(seen_at=minutes(31))
    browser.get("/due/")
    browser.cookies["sessionid"] = token

    assert not is_inside(browser)
    assert not OpenSession.objects.of(physiotherapist).exists()
    assert AuditEvent.objects.latest("pk").verb == "session ended"


def test_opening_a_page_keeps_the_session(browser):
    let_pass(seen_at=minutes(20))
    browser.get("/due/")
    let_pass(seen_at=minutes(20))

    assert is_inside(browser)


def test_a_page_writes_at_most_once_a_minute_that_somebody_is_there(browser):
    seen = OpenSession.objects.get().seen_at
    browser.get("/due/")

    assert OpenSession.objects.get().seen_at == seen


@pytest.mark.parametrize("address", ["/", "/book/", "/book/week/", "/session/"])
def test_what_a_page_asks_by_itself_does_not_keep_it(browser, address):
    let_pass(seen_at=minutes(20))
    assert browser.get(address, headers={"HX-Request": "true"}).status_code < 400
    let_pass(seen_at=minutes(11))

    assert not is_inside(browser)


def test_a_page_that_asks_by_itself_is_told_to_leave_when_it_is_over(browser):
    let_pass(seen_at=minutes(31))

    answer = browser.get(
        "/", headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/due/"}
    )
    assert answer["HX-Redirect"] == "/sign-in/?next=%2Fdue%2F"


def test_a_key_keeps_it_to_the_second(browser, physiotherapist):
    let_pass(seen_at=minutes(29))
    told = browser.get("/session/").json()
    assert len(told.pop("token")) == 64
    assert 0 < told.pop("left") <= 60
    assert told == {"who": physiotherapist.pk, "last": False}

    assert 60 < browser.post("/session/stay/").json()["left"] <= 30 * 60
    now = timezone.now()
    browser.post("/session/stay/")
    assert OpenSession.objects.get().seen_at >= now


def test_no_key_moves_the_end_of_the_day(browser):
    let_pass(began_at=minutes(12 * 60 - 1))

    left = browser.post("/session/stay/").json()
    assert (left["last"], left["left"] <= 60) == (True, True)


def test_the_page_is_told_when_it_is_over_and_does_not_begin_it_anew(browser):
    let_pass(seen_at=minutes(31))

    assert browser.post("/session/stay/").json() == {"who": None, "left": 0, "last": False}
    assert not is_inside(browser)


def test_what_a_page_stores_moves_no_time(browser):
    let_pass(seen_at=minutes(20), began_at=minutes(60))
    before = OpenSession.objects.values("seen_at", "began_at").get()
    session = browser.session
    session["anything"] = 1
    session.save()

    assert OpenSession.objects.values("seen_at", "began_at").get() == before


def test_a_form_sent_too_late_comes_back_filled_in(browser, physiotherapist):
    let_pass(seen_at=minutes(31))
    browser.post("/patients/new/", {"family_name": "Oyelaran"})
    browser.post("/sign-in/", {"username": physiotherapist.username, "password": PASSWORD})

    form = browser.get("/patients/new/").context["form"]
    assert form["family_name"].value() == "Oyelaran"


def keep(browser, mark):
    typed = {"typist": mark, "path": ["/a/", "/b/"], "text": ["n=1&csrfmiddlewaretoken=t", "n=2"]}
    return browser.post("/session/hold/", typed)


def test_a_page_at_its_end_brings_what_was_typed_into_safety(browser, physiotherapist):
    let_pass(seen_at=minutes(31))
    answer = keep(Client(enforce_csrf_checks=True), typist_mark(physiotherapist))

    held = HeldForm.objects.of(physiotherapist).order_by("path").values_list("path", "text")
    assert answer.status_code == 204
    assert list(held) == [("/a/", "n=1"), ("/b/", "n=2")]


def test_one_is_told_of_the_other_pages_on_which_something_waits(browser, physiotherapist):
    mark = typist_mark(physiotherapist)
    for path, title in (
        ("/patients/new/", "Register a patient"),
        ("/cases/7/close/", "Close the case"),
    ):
        browser.post(
            "/session/hold/", {"typist": mark, "title": title, "path": path, "text": "n=1"}
        )
    browser.post("/sign-out/")
    typed = {"username": physiotherapist.username, "password": PASSWORD, "next": "/patients/new/"}

    page = browser.post("/sign-in/", typed, follow=True).content.decode()

    assert "What you typed waits, filled in, on these pages too: Close the case." in page


def test_it_is_kept_for_whom_the_page_was_made_whoever_sits_there_now(browser, physiotherapist):
    other = create_physiotherapist(clinic=physiotherapist.clinic)

    keep(browser, typist_mark(other))

    assert HeldForm.objects.of(other).count() == 2
    assert not HeldForm.objects.of(physiotherapist).exists()


@pytest.mark.parametrize("mark", ["", "1", "MQ:1w0000:forged"])
def test_without_a_true_mark_nothing_is_kept(browser, mark):
    assert keep(browser, mark).status_code == 204
    assert not HeldForm.objects.exists()


def test_every_night_what_has_ended_goes_and_what_nobody_came_back_for(browser, physiotherapist):
    HeldForm.objects.hold(physiotherapist.pk, "/a/", "n=1")
    HeldForm.objects.hold(physiotherapist.pk, "/b/", "n=1")
    HeldForm.objects.filter(path="/a/").update(at=timezone.now() - KEPT)
    OpenSession.objects.create(pk="ended", expire_date=timezone.now() - minutes(1))

    call_command("tidy_accounts", stdout=io.StringIO())

    assert HeldForm.objects.get().path == "/b/"
    assert OpenSession.objects.get().staff == physiotherapist


def test_whoever_leaves_leaves_nothing_in_the_browser(browser, physiotherapist):
    """OWASP ASVS 5.0, 14.3.1; the note of who typed stays, for a form that another window sends too late."""
    answer = browser.post("/sign-out/")

    assert answer["Clear-Site-Data"] == '"cache", "storage"'
    assert browser.cookies["sessionid"].value == ""
    assert browser.cookies["typist"].value != ""


def test_so_does_whom_the_limit_signs_out(browser):
    let_pass(seen_at=minutes(31))

    assert browser.get("/due/")["Clear-Site-Data"] == '"cache", "storage"'
    assert "Clear-Site-Data" not in browser.get("/sign-in/")


def test_what_a_page_says_next_is_kept_on_the_server(browser):
    """A message names a patient; in a cookie it would stay in the browser."""
    browser.post("/account/sessions/end/")

    assert set(browser.cookies) == {"sessionid", "csrftoken", "typist"}
    assert "Signed out in 0 places" in browser.get("/account/").content.decode()


def test_signing_out_to_sign_in_again_leads_back(browser):
    assert browser.post("/sign-out/", {"next": "/due/"}).url == "/sign-in/?next=%2Fdue%2F"
    assert Client().post("/sign-out/", {"next": "https://example.org/"}).url == "/sign-in/"


def test_sessions_that_nobody_came_back_to_are_cleared_at_the_next_signing_in(
    browser, physiotherapist
):
    let_pass(seen_at=minutes(31))
    other = Client(headers={"User-Agent": "Mozilla/5.0 (X11; Linux x86_64) Firefox/146.0"})
    other.post("/sign-in/", {"username": physiotherapist.username, "password": PASSWORD})

    [row] = OpenSession.objects.all()
    assert (row.address, row.browser) == ("127.0.0.1", "Firefox on Linux")
    assert row.began_at <= timezone.now()
