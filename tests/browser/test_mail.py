"""E-mail to patients by keyboard alone: who was not reached, and the words of an e-mail."""

import datetime

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from cases.models import MailText, Notice
from tests.browser.keyboard import Keyboard
from tests.factories.cases import create_notice, create_patient_by_mail

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_desk_has_called_whom_no_e_mail_reached(person, physiotherapist, front_desk):
    starts = timezone.now() + datetime.timedelta(days=2)
    patient = create_patient_by_mail(by=physiotherapist)
    create_notice(patient=patient, starts_at=starts, status="failed", why="address")
    desk = person(front_desk)
    keys = Keyboard(desk)

    keys.follow("1 e-mail did not reach its patient", to="/mail/")
    keys.follow("Told by phone", to="/mail/")

    assert desk.reads().startswith("Marit")
    assert "Everybody was reached" in desk.reads()
    assert Notice.objects.get().settled_by == front_desk
    assert desk.complaints == []


def test_a_manager_writes_other_words_and_looks_at_them_first(person, manager):
    boss = person(manager)
    keys = Keyboard(boss)

    keys.follow("E-mail", to="/mail/")
    keys.follow("What e-mails say", to="/mail/texts/")
    keys.follow("standard: reminder, English", to="/mail/texts/reminder-en/")
    keys.go_to("body")
    keys.press("Control+a")
    keys.page.keyboard.type("See you on {day} at {tim}.")
    keys.access("v")
    boss.page.get_by_text("There is no {tim}.").first.wait_for()
    keys.go_to("body")
    keys.press("Control+End")
    keys.press("ArrowLeft", 2)
    keys.page.keyboard.type("e")
    keys.access("v")
    boss.page.locator(".letter", has_text="See you on").wait_for()
    expect(boss.page.get_by_role("heading", name="How it would read")).to_be_focused()
    keys.press("Tab")
    boss.page.once("dialog", lambda asked: asked.dismiss())
    with boss.page.expect_event("dialog") as asked:
        keys.access("b")
    assert asked.value.type == "beforeunload"
    keys.command("s", to="/mail/texts/")

    assert MailText.objects.get().body == "See you on {day} at {time}."
    assert boss.complaints == []
