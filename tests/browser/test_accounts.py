"""A new colleague from the invitation to the first page, and a password that is pasted."""

import pytest
from playwright.sync_api import expect

from clinic.models import Staff

pytestmark = pytest.mark.django_db(transaction=True)

PASSWORD = "otter ladle violet thunder and marmalade for the whole boathouse crew"


@pytest.fixture
def stranger(chromium, live_server):
    context = chromium.new_context(base_url=live_server.url, locale="en-GB")
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    yield context.new_page()
    context.close()


def paste(page, name, text):
    page.evaluate("text => navigator.clipboard.writeText(text)", text)
    page.locator(f"[name={name}]").focus()
    page.keyboard.press("Control+V")


def test_a_new_colleague_comes_in_by_the_link(person, manager, stranger):
    boss = person(manager)
    boss.open("/staff/")
    boss.press("Invite somebody", to="/staff/invite/")
    boss.type("first_name", "Nora")
    boss.type("last_name", "Strand")
    boss.choose("role", "front desk")
    boss.press("Make the link")
    link = boss.page.locator("#address").input_value()

    stranger.goto(link)
    expect(stranger.locator("h1")).to_have_text("Welcome, Nora Strand")
    stranger.locator("[name=username]").fill("nora")
    paste(stranger, "new_password1", PASSWORD)
    paste(stranger, "new_password2", PASSWORD)
    stranger.keyboard.press("Enter")
    stranger.wait_for_url("**/sign-in/")
    stranger.locator("[name=username]").fill("nora")
    paste(stranger, "password", PASSWORD)
    stranger.keyboard.press("Enter")
    stranger.wait_for_url(lambda url: "sign-in" not in url)

    expect(stranger.locator(".person")).to_contain_text("Nora Strand")
    assert Staff.objects.get(username="nora").role == "front desk"
    assert boss.complaints == []


def test_closing_an_account_puts_its_owner_out(person, manager, front_desk):
    boss, owner = person(manager), person(front_desk)
    boss.open(f"/staff/{front_desk.pk}/")
    boss.press("Close the account", to="/close/")
    boss.press("Close the account", to="/staff/")

    owner.open("/patients/")

    assert "/sign-in/" in owner.page.url
    expect(boss.page.locator("main")).to_contain_text("closed")
