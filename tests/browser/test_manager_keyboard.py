"""A manager's errands on the pages of the clinic without touching the mouse, with the strokes counted."""

import datetime

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from clinic.models import ClosedDay, Invitation
from tests.browser.keyboard import Keyboard

pytestmark = pytest.mark.django_db(transaction=True)

MOST_TO_CLOSE_A_DAY = 44
MOST_TO_INVITE = 35


def close_a_day(keys: Keyboard, day: datetime.date) -> None:
    keys.follow("Clinic", to="/clinic/")
    keys.follow("Closed days", to="/closed-days/")
    keys.type("day", f"{day:%m%d%Y}")
    keys.type("name", "Stocktaking")
    with keys.page.expect_navigation():
        keys.press("Enter")
    expect(keys.page.locator(".messages")).to_contain_text("Stocktaking")
    keys.command("b", to="/clinic/")


def invite(keys: Keyboard) -> None:
    keys.follow("Staff", to="/staff/")
    keys.command("n", to="/staff/invite/")
    keys.type("last_name", "Strand")
    keys.choose("role", "front desk")
    keys.command("s", to=r"/staff/invitations/\d+/")
    assert keys.page.locator("#address").input_value().startswith("http")


def test_a_day_is_closed_and_a_colleague_invited_by_keyboard_alone(person, manager):
    # The same whichever of day and month comes first.
    new_year = datetime.date(timezone.localdate().year + 2, 1, 1)
    boss = person(manager)
    keys = Keyboard(boss)

    close_a_day(keys, new_year)
    keys.note("close a day")
    invite(keys)
    keys.note("invite")

    assert ClosedDay.objects.get().day == new_year
    assert Invitation.objects.get().role == "front desk"
    assert keys.tally["close a day"] <= MOST_TO_CLOSE_A_DAY, keys.tally
    assert keys.tally["invite"] <= MOST_TO_INVITE, keys.tally
    assert boss.complaints == []
