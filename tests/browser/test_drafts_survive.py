"""What was typed into a draft visit is there after the browser has crashed, and after signing out.

That it is there after the server was killed: tests/operations/test_kill.py.
"""

import os
import signal

import pytest
from django.utils import timezone
from playwright.sync_api import Error

from tests.browser.conftest import CHROMIUM, QUIET
from tests.browser.person import Person
from tests.factories.cases import create_case, create_visit

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def notes(physiotherapist):
    case = create_case(lead=physiotherapist, opened=timezone.localdate())
    return f"/visits/{create_visit(case=case).pk}/notes/"


@pytest.fixture
def another_browser(chromium, live_server):
    """A Chromium of its own, and how to kill it."""
    browser = chromium.browser_type.launch(executable_path=CHROMIUM, args=QUIET)

    def kill():
        processes = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
        (own,) = (one["id"] for one in processes["processInfo"] if one["type"] == "browser")
        os.kill(own, signal.SIGKILL)

    yield browser.new_page(base_url=live_server.url), kill
    browser.close()


def test_what_was_saved_while_typing_survives_the_browser(
    another_browser, person, physiotherapist, notes
):
    page, kill = another_browser
    before = Person(page, physiotherapist)
    before.open(notes)
    before.field("notes-subjective").press_sequentially("Planed boards.")
    before.wait_until_saved("notes")
    before.field("notes-plan").press_sequentially("Rest on Fri")

    kill()
    with pytest.raises(Error):
        page.wait_for_timeout(10_000)

    after = person(physiotherapist)
    after.open(notes)
    assert after.field("notes-subjective").input_value() == "Planed boards."
    # What was typed in the second before the crash may be lost, and was never said to be saved.
    assert after.field("notes-plan").input_value() in ("", "Rest on Fri")


def test_what_was_typed_last_survives_signing_out(person, physiotherapist, notes):
    physio = person(physiotherapist)
    physio.open(notes)
    physio.field("notes-subjective").press_sequentially("Planed boards.")

    physio.page.get_by_role("button", name="Sign out").click()
    physio.page.wait_for_url("**/sign-in/**")

    physio.sign_in()
    physio.open(notes)
    assert physio.field("notes-subjective").input_value() == "Planed boards."
