"""The visit's page while it is typed into: what is proposed follows, and nothing typed is lost."""

import datetime

import pytest
from django.utils import timezone

from cases.models import Intake
from tests.factories.cases import create_case, create_clear_screening, create_visit
from tests.factories.rehab import create_diary, create_draft, create_issued

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def case(physiotherapist):
    opened = timezone.localdate() - datetime.timedelta(days=14)
    case = create_case(lead=physiotherapist, opened=opened)
    Intake.objects.create(case=case, nights_woken=0)
    create_clear_screening(case=case)
    return case


def test_what_is_proposed_follows_what_is_typed(person, physiotherapist, case):
    issued = timezone.now() - datetime.timedelta(days=14)
    create_diary(program=create_issued(case=case, at=issued, version=1), days=13)
    visit = create_visit(case=case, on=timezone.localdate())
    physio = person(physiotherapist)
    physio.open(f"/visits/{visit.pk}/")
    gist, yesterday = physio.page.locator("#gist"), visit.on - datetime.timedelta(days=1)
    assert "add load, 1.2 → 1.3 kg" in gist.inner_text()
    physio.page.get_by_text("Decide otherwise").click()
    physio.type("reason", "Regatta this week.")

    physio.type(f"diary-{yesterday}_sets_done", 3)
    physio.type(f"diary-{yesterday}_worst_pain", 8)
    physio.page.keyboard.press("Enter")

    gist.get_by_text("reduce the load").wait_for()
    assert "Worst pain 8 during exercise (too much from 6)." in gist.inner_text()
    assert physio.field("reason").input_value() == "Regatta this week."
    assert physio.focused() == f"diary-{yesterday}_next_morning_pain"
    assert physio.complaints == []


def test_enter_in_a_dose_saves_the_draft_and_adds_nothing(person, physiotherapist, case):
    draft = create_draft(case=case, version=1)
    physio = person(physiotherapist)
    physio.open(f"/cases/{case.pk}/program/")

    physio.type("dose-0-sets", 4)
    with physio.page.expect_navigation():
        physio.page.keyboard.press("Enter")

    assert physio.field("dose-0-sets").input_value() == "4"
    assert [exercise.card for exercise in draft.exercises.all()] == ["lift-and-lower", "fist-hold"]


def test_what_was_typed_last_is_saved_before_a_link_leads_away(person, physiotherapist, case):
    visit = create_visit(case=case, on=timezone.localdate())
    physio = person(physiotherapist)
    physio.open(f"/visits/{visit.pk}/")
    asked = []
    physio.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))

    with physio.page.expect_request("**/notes/"):
        physio.page.locator("[name=notes-subjective]").press_sequentially("Planed boards.")
    # A request is under way; what is typed now is not in it.
    physio.page.locator("[name=notes-plan]").press_sequentially("Rest on Friday.")
    physio.page.locator(f"main a[href^='/cases/{case.pk}/']").first.click()
    physio.page.wait_for_url(f"**/cases/{case.pk}/**")

    visit.refresh_from_db()
    assert (visit.subjective, visit.plan, asked) == ("Planed boards.", "Rest on Friday.", [])


def test_what_cant_be_saved_makes_the_browser_ask(person, physiotherapist, case):
    visit = create_visit(case=case, on=timezone.localdate())
    physio = person(physiotherapist)
    physio.open(f"/visits/{visit.pk}/")
    asked = []
    physio.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))

    physio.page.locator("[name=notes-minutes]").press_sequentially("100000")
    with physio.page.expect_event("dialog"):
        physio.page.locator(f"main a[href^='/cases/{case.pk}/']").first.click()

    assert (asked, physio.page.url.endswith(f"/visits/{visit.pk}/")) == (["beforeunload"], True)


def test_the_battery_is_fetched_when_it_is_opened_and_saves_itself(person, physiotherapist, case):
    visit = create_visit(case=case, on=timezone.localdate())
    physio = person(physiotherapist)
    physio.open(f"/visits/{visit.pk}/")
    fold = physio.page.locator("#battery-part")

    fold.locator("summary").first.focus()
    physio.page.keyboard.press("Enter")
    fold.locator("[name=battery-resting_pain]").first.wait_for(state="attached")
    physio.page.keyboard.press("Tab")
    physio.page.keyboard.press("0")
    physio.choose("battery-wrist-extension-right", "familiar")
    physio.type("battery-wrist-extension-right-pain", 6)
    physio.page.locator("#battery-saved", has_text="Saved").wait_for()

    assert [found.pain for found in visit.battery.findings.all()] == [6]
    assert visit.battery.resting_pain == 0
    physio.open(f"/visits/{visit.pk}/")
    assert "1 finding on record" in fold.locator("summary").first.inner_text()
    assert physio.complaints == []
