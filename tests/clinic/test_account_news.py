"""What somebody is told by e-mail when the way into their account was changed; OWASP ASVS 5.0, 6.3.7."""

import datetime
import re

import pytest
from django.core import mail
from django.core.mail.backends import locmem
from django.db import IntegrityError
from django.utils import timezone

from clinic import account_mail, at_rest
from clinic.models import AccountNews, SecondFactor
from clinic.one_time_code import code_at, step_at
from clinic.reset_links import reset_path
from tests.factories.clinic import PASSWORD

pytestmark = pytest.mark.django_db

OLD, NEW = PASSWORD, "otter ladle violet thunder"
SET_UP = "/account/code/"
NINE = datetime.datetime(2026, 7, 2, 8, tzinfo=datetime.UTC)  # 09:00 summer time in London


def send():
    return account_mail.send_waiting(clock=timezone.now)


def told() -> list[str]:
    """What was sent, without greeting and advice, one line each."""
    send()
    lines = [message.body.splitlines()[2] for message in mail.outbox]
    return [re.sub(r"^on .* at \d\d:\d\d ", "", line) for line in lines]


def code_now() -> str:
    secret = at_rest.decrypt(SecondFactor.objects.get().secret)
    return code_at(secret, step_at(timezone.now()))


def change_password(browser) -> None:
    fields = {"old_password": OLD, "new_password1": NEW, "new_password2": NEW}
    browser.post("/account/password/", fields)


def set_up(browser) -> None:
    browser.post(f"{SET_UP}begin/", {"password": OLD})
    browser.post(SET_UP, {"code": code_now()})


def test_a_changed_password_is_told(signed_in, front_desk):
    change_password(signed_in(front_desk))

    assert told() == [f"the password of your account at {front_desk.clinic.name} was changed."]
    assert (mail.outbox[0].to, send()) == ([front_desk.email], (0, 0))


def test_a_password_chosen_behind_a_link_is_told(client, front_desk):
    page = client.get(reset_path(front_desk), follow=True)
    client.post(page.request["PATH_INFO"], {"new_password1": NEW, "new_password2": NEW})

    assert [line.partition(" for ")[0] for line in told()] == ["a new password was chosen"]


def test_each_change_of_the_second_factor_is_told(signed_in, front_desk):
    browser = signed_in(front_desk)
    set_up(browser)
    browser.post(f"{SET_UP}recovery/", {"password": OLD})
    browser.post(f"{SET_UP}off/", {"password": OLD})

    assert [line.partition(" of ")[0].partition(" for ")[0] for line in told()] == [
        "a second factor was set up", "the recovery codes", "the second factor",
    ]  # fmt: skip


def test_a_second_factor_that_a_manager_removes_is_told_to_its_owner(
    signed_in, front_desk, manager
):
    SecondFactor.objects.begin(front_desk, now=NINE).confirm(now=NINE)
    signed_in(manager).post(f"/staff/{front_desk.pk}/code/remove/")

    assert [line.partition(" of ")[0] for line in told()] == ["a manager removed the second factor"]
    assert mail.outbox[0].to == [front_desk.email]


def test_another_address_is_told_to_the_one_before(signed_in, front_desk, manager):
    before, browser = front_desk.email, signed_in(manager)
    form = browser.get(f"/staff/{front_desk.pk}/").context["form"]
    sent = {field.html_name: field.value() for field in form if field.value() is not None}
    browser.post(f"/staff/{front_desk.pk}/", sent | {"email": "other@example.org"})

    assert "another e-mail address than this one" in told()[0]
    assert mail.outbox[0].to == [before]


def test_what_did_not_change_is_not_told(signed_in, front_desk):
    browser = signed_in(front_desk)
    browser.post("/account/password/", {"old_password": "wrong", "new_password1": NEW})
    browser.post(f"{SET_UP}begin/", {"password": OLD})
    browser.post(SET_UP, {"code": "000000"})

    assert not AccountNews.objects.exists()


def test_the_e_mail_says_when_in_the_clinics_time_and_has_no_link_and_no_secret(
    front_desk, outside_a_request
):
    AccountNews.objects.create(staff=front_desk, about="password", to=front_desk.email, at=NINE)
    send()

    said = mail.outbox[0].subject + mail.outbox[0].body
    assert "on 2 Jul 2026 at 09:00 the password" in said
    assert [word for word in ("http", front_desk.username, front_desk.role) if word in said] == []
    assert mail.outbox[0].extra_headers == {"Auto-Submitted": "auto-generated"}


def test_what_the_mail_server_did_not_take_is_sent_with_the_next_round(front_desk, monkeypatch):
    AccountNews.objects.tell(front_desk, AccountNews.About.PASSWORD)
    with monkeypatch.context() as broken:
        broken.setattr(locmem.EmailBackend, "send_messages", _refuse)
        assert send() == (0, 1)

    assert send() == (1, 0)


def _refuse(*_more):
    raise ConnectionRefusedError


def test_nothing_waits_for_who_has_no_address_or_where_no_e_mail_is_sent(front_desk, settings):
    front_desk.email = ""
    AccountNews.objects.tell(front_desk, AccountNews.About.PASSWORD)
    settings.SENDS_EMAIL = False
    AccountNews.objects.tell(front_desk, AccountNews.About.PASSWORD, to="ida@example.org")

    assert not AccountNews.objects.exists()


def test_every_change_has_its_words():
    assert set(account_mail.NEWS) == set(AccountNews.About)


def test_the_database_knows_what_there_is_to_tell(front_desk):
    with pytest.raises(IntegrityError, match="account_news_about_known"):
        AccountNews.objects.create(staff=front_desk, about="weather", to="ida@example.org")
