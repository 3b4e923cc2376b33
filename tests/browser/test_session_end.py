"""The end of a session in a browser: asked in time, kept by a key, and at the end nothing typed is lost."""

import datetime
import re

import pytest
from django.db.models import F
from playwright.sync_api import expect

from cases.models import Patient
from clinic.models import Clinic, HeldForm, OpenSession
from tests.browser.axe import EVERYTHING, found_on, keep_picture
from tests.factories.clinic import PASSWORD, create_front_desk

pytestmark = pytest.mark.django_db(transaction=True)

NEW = "/patients/new/"


@pytest.fixture
def desk(person, front_desk):
    """The front desk at a new patient's page, with a clock of the page that can be moved."""
    Clinic.objects.update(idle_minutes=5)
    someone = person(front_desk)
    someone.page.clock.install()
    someone.open(NEW)
    return someone


def let_pass(desk, minutes: float, **since):
    """Time for the page and for the server, without anybody there."""
    ago = datetime.timedelta(minutes=minutes)
    names = since.get("of", ("seen_at",))
    OpenSession.objects.update(**{name: F(name) - ago for name in names})
    desk.page.clock.fast_forward(int(60_000 * minutes))


def question(desk):
    return desk.page.get_by_role("alertdialog")


def seen_at():
    return OpenSession.objects.get().seen_at


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_asked_two_minutes_before_the_end(desk, scheme, pictures):
    desk.page.emulate_media(color_scheme=scheme)
    let_pass(desk, 2.8)
    assert not question(desk).is_visible()

    let_pass(desk, 0.4)
    question(desk).wait_for()

    assert question(desk).get_attribute("data-last") == ""
    assert "Are you still there?" in question(desk).inner_text()
    assert re.search(r"\b1:\d\d\b", question(desk).inner_text())
    assert "can't be reached" not in question(desk).inner_text()
    for width in (1280, 820, 390):
        desk.page.set_viewport_size({"width": width, "height": 900})
        assert found_on(desk.page, EVERYTHING) == []
        keep_picture(desk.page, pictures, "session-end", scheme)
    assert desk.complaints == []


@pytest.mark.parametrize("key", ["Enter", "Escape", "x"])
def test_a_key_goes_on_and_leads_back_to_where_one_was(desk, key):
    desk.type("given_name", "Marit")
    desk.field("given_name").focus()
    let_pass(desk, 3.5)
    question(desk).wait_for()
    before = seen_at()

    desk.page.keyboard.press(key)
    question(desk).wait_for(state="hidden")

    assert seen_at() - before > datetime.timedelta(minutes=3)
    assert desk.field("given_name").input_value() == "Marit"
    desk.wait_at("[name=given_name]")


def test_the_last_twenty_seconds_are_read_out(desk):
    let_pass(desk, 3.5)
    question(desk).wait_for()
    let_pass(desk, 1.25)

    desk.page.get_by_role("status").get_by_text("20 seconds left").wait_for()


def test_typing_for_longer_than_the_limit_is_never_interrupted(desk):
    for letter in "Oyelaran":
        let_pass(desk, 1.1)
        with desk.page.expect_response("**/session/stay/"):
            desk.field("family_name").press_sequentially(letter)

    assert not question(desk).is_visible()
    assert desk.field("family_name").input_value() == "Oyelaran"


def test_what_was_typed_comes_back_to_the_one_who_typed_it(desk, front_desk):
    desk.type("given_name", "Marit")
    desk.type("family_name", "Oyelaran")
    let_pass(desk, 3.5)
    question(desk).wait_for()
    let_pass(desk, 2)

    desk.page.wait_for_url("**/sign-in/?next=**")
    assert "Nothing is lost" in desk.reads()
    desk.type("username", front_desk.username)
    desk.type("password", PASSWORD)
    desk.page.keyboard.press("Enter")
    desk.page.wait_for_url(f"**{NEW}")

    assert desk.field("family_name").input_value() == "Oyelaran"
    assert not HeldForm.objects.exists()


def test_somebody_else_gets_an_empty_form(desk, front_desk):
    other = create_front_desk(clinic=front_desk.clinic)
    desk.type("family_name", "Oyelaran")
    let_pass(desk, 5.5)
    desk.page.wait_for_url("**/sign-in/?next=**")
    desk.type("username", other.username)
    desk.type("password", PASSWORD)
    desk.page.keyboard.press("Enter")
    desk.page.wait_for_url(f"**{NEW}")

    assert desk.field("family_name").input_value() == ""
    assert HeldForm.objects.of(front_desk).exists()


def test_another_page_that_went_on_keeps_this_one(desk):
    let_pass(desk, 3.5)
    question(desk).wait_for()
    OpenSession.objects.update(seen_at=F("seen_at") + datetime.timedelta(minutes=3))
    let_pass(desk, 0.2)

    question(desk).wait_for(state="hidden")


def test_after_the_day_one_can_sign_in_anew_at_once_and_lose_nothing(desk):
    desk.type("family_name", "Oyelaran")
    OpenSession.objects.update(began_at=F("began_at") - datetime.timedelta(hours=11, minutes=56.5))
    let_pass(desk, 3.2, of=["began_at"])
    question(desk).wait_for()

    assert "signed in for almost 12 hours" in question(desk).inner_text()
    desk.page.keyboard.press("x")
    assert question(desk).is_visible()
    question(desk).get_by_role("button", name="Sign in again now").click()
    desk.page.wait_for_url("**/sign-in/?next=**")

    assert "Nothing is lost" in desk.reads()


def test_the_end_of_the_day_can_be_waited_for(desk):
    OpenSession.objects.update(began_at=F("began_at") - datetime.timedelta(hours=11, minutes=56.5))
    let_pass(desk, 3.2, of=["began_at"])
    question(desk).wait_for()
    desk.page.keyboard.press("Enter")

    question(desk).wait_for(state="hidden")
    let_pass(desk, 0.2, of=["began_at"])
    assert not question(desk).is_visible()


def look_again(desk):
    """Come back to the page from another window."""
    with desk.page.expect_response("**/session/"):
        desk.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def sign_in_elsewhere(desk, staff):
    """Sign out and in again in another window of the same browser."""
    other = desk.page.context.new_page()
    other.goto("/")
    other.locator("[data-sign-out] button").click()
    other.locator("[name=username]").fill(staff.username)
    other.locator("[name=password]").fill(PASSWORD)
    other.keyboard.press("Enter")
    other.wait_for_url(lambda url: "sign-in" not in url)


def test_a_page_still_saves_after_signing_in_anew_in_another_window(desk, front_desk):
    desk.type("given_name", "Marit")
    desk.type("family_name", "Oyelaran")
    desk.type("born", "1981-05-04")
    desk.choose("sex", "female")
    desk.choose("handedness", "right")
    sign_in_elsewhere(desk, front_desk)
    look_again(desk)

    desk.page.locator("main button[accesskey=s]").click()
    desk.page.wait_for_url(lambda url: NEW not in url)

    assert Patient.objects.get().family_name == "Oyelaran"


def test_a_page_of_one_person_leaves_the_screen_when_another_signs_in(desk, front_desk):
    desk.type("family_name", "Oyelaran")
    sign_in_elsewhere(desk, create_front_desk(clinic=front_desk.clinic))
    look_again(desk)

    expect(desk.field("family_name")).to_have_value("")
    assert HeldForm.objects.of(front_desk).get().title == "Register a patient"
