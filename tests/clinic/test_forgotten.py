"""A forgotten password: who gets a link, what it opens, and what nobody learns by asking.

OWASP ASVS 5.0, 6.3.8 (nobody learns who has an account) and 6.4.6 (a manager starts it and chooses nothing).
"""

import datetime
import re
import smtplib

import pytest
from axes.models import AccessAttempt
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.core import mail
from django.core.mail.backends import locmem
from django.test import Client
from django.utils import timezone

from clinic import account_mail
from clinic.models import AuditEvent, ResetRequest, Staff
from clinic.reset_links import reset_path
from tests.factories.clinic import PASSWORD, create_front_desk, create_manager

pytestmark = pytest.mark.django_db

PAGE = "/forgotten/"
OLD, NEW = PASSWORD, "otter ladle violet thunder"
CHOSEN = {"new_password1": NEW, "new_password2": NEW}
TOKEN = re.compile(r"\b[A-Za-z0-9]{64}\b")


@pytest.fixture
def staff(front_desk):
    return front_desk


def ask(client, email):
    return client.post(PAGE, {"email": email}, follow=True)


def send(after=datetime.timedelta()):
    return account_mail.send_waiting(clock=lambda: timezone.now() + after)


def link_in(message):
    return re.search(r"http://testserver(/new-password/\S+)", message.body)[1]


def choose(client, link, **changes):
    """Follow the link and send the form behind it."""
    page = client.get(link, follow=True)
    return client.post(page.request["PATH_INFO"], CHOSEN | changes)


def opens(staff, password):
    return Staff.objects.get(pk=staff.pk).check_password(password)


def test_the_link_in_the_e_mail_leads_to_a_new_password(client, staff):
    ask(client, staff.email)
    sent = send()
    answer = choose(client, link_in(mail.outbox[0]))

    assert (sent, mail.outbox[0].to, answer.url) == ((1, 0), [staff.email], "/sign-in/")
    assert (opens(staff, NEW), opens(staff, OLD)) == (True, False)
    assert [(e.actor, e.verb) for e in AuditEvent.objects.all()] == [
        (staff, "chose a new password")
    ]


def bare(page):
    return TOKEN.sub("", page.content.decode())


def test_the_answer_is_the_same_whoever_asks(client, staff):
    closed = create_front_desk(is_active=False)

    pages = {bare(ask(Client(), email)) for email in (staff.email, closed.email, "no@example.org")}

    assert len(pages) == 1
    assert "If this is the address of somebody" in pages.pop()


def test_nothing_is_sent_while_one_waits_for_the_answer(client, staff, monkeypatch):
    """A mail server's time would tell whose address it is."""
    monkeypatch.setattr(locmem.EmailBackend, "send_messages", lambda *_more: pytest.fail("sent"))

    assert ask(client, staff.email).status_code == 200


@pytest.mark.parametrize("rows", [0, 1])
def test_a_known_address_costs_one_more_row_and_no_password(
    client, staff, rows, django_assert_max_num_queries
):
    email = staff.email if rows else "no@example.org"

    with django_assert_max_num_queries(12):
        client.post(PAGE, {"email": email})
    assert ResetRequest.objects.count() == rows


def test_the_e_mail_holds_no_more_than_needed(client, staff):
    ask(client, staff.email)
    send()

    said = mail.outbox[0].subject + mail.outbox[0].body
    assert [word for word in (staff.username, staff.role, OLD) if word in said] == []
    assert mail.outbox[0].extra_headers == {"Auto-Submitted": "auto-generated"}


def test_capitals_in_an_address_do_not_matter(client, staff):
    ask(client, staff.email.upper())

    assert ResetRequest.objects.get().staff == staff


def test_a_shared_address_gets_a_link_for_each(client, staff):
    Staff.objects.filter(pk=create_front_desk(clinic=staff.clinic).pk).update(email=staff.email)
    ask(client, staff.email)

    assert send() == (2, 0)
    assert len({link_in(message) for message in mail.outbox}) == 2


def test_asking_again_and_again_fills_no_mailbox(client, staff):
    for _time in range(3):
        ask(client, staff.email)
        send()

    assert len(mail.outbox) == 1
    ResetRequest.objects.update(sent_at=timezone.now() - datetime.timedelta(minutes=10))
    ask(client, staff.email)
    assert send() == (1, 0)


def test_what_the_mail_server_did_not_take_is_tried_again(client, staff, monkeypatch):
    ask(client, staff.email)

    def refuse(*_more):
        raise smtplib.SMTPServerDisconnected

    with monkeypatch.context() as patch:
        patch.setattr(locmem.EmailBackend, "send_messages", refuse)
        assert send() == (0, 1)
    assert send() == (1, 0)


def test_two_that_send_at_once_send_it_once(client, staff, monkeypatch):
    ask(client, staff.email)
    real = account_mail._sent

    def meanwhile(*args):
        assert send() == (0, 0)
        return real(*args)

    monkeypatch.setattr(account_mail, "_sent", meanwhile)

    assert (send(), len(mail.outbox)) == ((1, 0), 1)


def test_an_account_that_was_closed_meanwhile_gets_nothing(client, staff):
    ask(client, staff.email)
    staff.close()

    assert (send(), mail.outbox) == ((0, 0), [])


@pytest.mark.parametrize(
    ("email", "error"),
    [
        ("", "Enter your e-mail address."),
        ("desk", "Enter the e-mail address in full, for example ida@example.org."),
    ],
)
def test_what_is_no_address_is_said_at_the_field(client, email, error):
    answer = client.post(PAGE, {"email": email})

    assert (answer.status_code, answer.context["form"].errors) == (422, {"email": [error]})


def test_without_a_mail_server_one_is_sent_to_the_manager(client, staff, settings):
    settings.SENDS_EMAIL = False

    assert "they hand you a link" in client.get(PAGE).content.decode()
    ask(client, staff.email)
    assert not ResetRequest.objects.exists()


def test_a_link_opens_once(client, staff):
    link = reset_path(staff)
    choose(client, link)

    again = Client().get(link, follow=True)

    assert (again.status_code, again.context["validlink"]) == (404, False)


@pytest.mark.parametrize(("seconds", "valid"), [(-60, True), (60, False)])
def test_a_link_opens_for_a_day(staff, monkeypatch, seconds, valid):
    link = reset_path(staff)
    later = datetime.datetime.now() + datetime.timedelta(days=1, seconds=seconds)
    monkeypatch.setattr(PasswordResetTokenGenerator, "_now", lambda self: later)

    assert Client().get(link, follow=True).context["validlink"] is valid


def test_signing_in_ends_a_link_that_was_not_needed(client, staff):
    link = reset_path(staff)
    client.post("/sign-in/", {"username": staff.username, "password": OLD})

    assert Client().get(link, follow=True).context["validlink"] is False


def test_a_closed_account_has_no_way_back_by_a_link(staff):
    Staff.objects.filter(pk=staff.pk).update(is_active=False)
    link = reset_path(Staff.objects.get(pk=staff.pk))

    assert Client().get(link, follow=True).context["validlink"] is False


@pytest.mark.parametrize("link", ["/new-password/MQ/nothing/", "/new-password/x/y/"])
def test_a_guess_opens_nothing(client, staff, link):
    assert client.get(link, follow=True).status_code == 404


def test_the_page_does_not_have_the_secret_in_its_address(client, staff):
    assert client.get(reset_path(staff)).url.endswith("/set-password/")


def test_what_will_not_do_is_said_and_changes_nothing(client, staff):
    answer = choose(client, reset_path(staff), new_password2="otter")

    assert (answer.status_code, answer.context["form"].errors) == (
        422,
        {"new_password2": ["The two don't match. Type the new one twice."]},
    )
    assert opens(staff, OLD)


def test_a_new_password_ends_every_session_and_every_wait(client, staff):
    elsewhere = Client()
    elsewhere.force_login(staff)
    link = reset_path(Staff.objects.get(pk=staff.pk))
    AccessAttempt.objects.create(
        username=staff.username,
        ip_address="127.0.0.1",
        attempt_time=timezone.now(),
        failures_since_start=5,
    )
    choose(client, link)

    assert elsewhere.get("/").status_code == 302
    fields = {"username": staff.username, "password": NEW}
    assert client.post("/sign-in/", fields).status_code == 302


@pytest.fixture
def desk(manager, signed_in):
    return signed_in(manager)


def made(desk, staff):
    """The link that a manager makes for somebody."""
    return desk.get(desk.post(f"/staff/{staff.pk}/new-password/").url).context["link"]


def test_a_manager_hands_over_a_link_and_never_learns_the_password(desk, manager, staff):
    link = made(desk, staff)

    assert link.startswith("http://testserver/new-password/")
    assert opens(staff, OLD)
    assert choose(Client(), link.removeprefix("http://testserver")).url == "/sign-in/"
    assert opens(staff, NEW)
    assert [(e.actor, e.verb, e.object_id) for e in AuditEvent.objects.order_by("pk")] == [
        (manager, "made a link for a new password", staff.pk),
        (staff, "chose a new password", staff.pk),
    ]


def test_the_link_is_shown_once(desk, staff):
    made(desk, staff)

    assert desk.get(f"/staff/{staff.pk}/").context["link"] == ""


def test_an_account_that_is_opened_again_gets_its_password_by_a_link(desk, staff):
    desk.post(f"/staff/{staff.pk}/close/")
    desk.post(f"/staff/{staff.pk}/open/")

    choose(Client(), made(desk, staff).removeprefix("http://testserver"))

    assert opens(staff, NEW)


def test_a_closed_account_gets_no_link(desk, staff):
    staff.close()

    assert made(desk, staff) == ""


def test_staff_of_another_clinic_get_no_link(desk):
    assert desk.post(f"/staff/{create_manager().pk}/new-password/").status_code == 404


def test_only_a_manager_makes_links(signed_in, physiotherapist, front_desk):
    client = signed_in(front_desk)

    assert client.post(f"/staff/{physiotherapist.pk}/new-password/").status_code == 403
