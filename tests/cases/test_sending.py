"""Sending what waits, through a real mail server: taken, refused, deferred, hung up, not there."""

import datetime
import smtplib

import pytest
from django.utils import timezone

from cases.mail import letter_of
from cases.models import Appointment, Notice, Patient
from cases.sending import Tally, send_due
from tests.cases.booking import book, move
from tests.cases.conftest import at
from tests.factories.cases import create_patient_by_mail

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning", "outside_a_request")]

FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def invited(physiotherapist):
    """Return a function that books patients with these mail names, one after the other on Friday."""

    def invite(*names):
        for place, name in enumerate(names):
            patient = create_patient_by_mail(by=physiotherapist, email=f"{name}@example.org")
            book(physiotherapist, patient, at(9 + place, day=FRIDAY))

    return invite


def send():
    return send_due(clock=timezone.now)


def results():
    return list(Notice.objects.order_by("pk").values_list("status", "why", "answer"))


def test_what_waits_is_sent_once(invited, mail_server):
    invited("marit", "tor")

    first, second = send(), send()

    assert (first, second) == (Tally(sent=2), Tally())
    assert [message["To"] for message in mail_server.messages] == [
        "marit@example.org",
        "tor@example.org",
    ]


def test_what_was_sent_is_kept_with_its_words(invited, mail_server):
    invited("marit")
    send()

    notice = Notice.objects.get()
    message = mail_server.messages[0]
    read = message.get_body().get_content().splitlines()
    assert (notice.status, notice.sent_to, notice.sent_at) == ("sent", "marit@example.org", at(8))
    assert (notice.subject, notice.body.splitlines()) == (message["Subject"], read)


def test_one_that_is_refused_does_not_keep_the_others(invited, mail_server):
    invited("gone", "marit", "full", "hang-up", "tor")

    tally = send()

    assert tally == Tally(sent=2, failed=2, waiting=1)
    assert results() == [
        ("failed", "address", "550 5.1.1 no such user here"),
        ("sent", "", ""),
        ("failed", "full", "552 5.2.2 mailbox full"),
        ("waiting", "later", "421 4.3.2 closing"),
        ("sent", "", ""),
    ]


def test_an_address_that_does_not_exist_is_noted_at_the_patient(invited, mail_server):
    invited("gone", "full", "later")
    send()

    noted = Patient.objects.order_by("pk").values_list("email", "mail_refused_at")
    assert list(noted) == [
        ("gone@example.org", at(8)),
        ("full@example.org", None),
        ("later@example.org", None),
    ]


def test_a_deferred_one_is_tried_again_after_half_an_hour(invited, mail_server, morning):
    invited("later")
    send()
    morning(at(8, 29))
    early = send()
    morning(at(8, 30))
    due = send()

    assert (early, due) == (Tally(), Tally(waiting=1))
    assert Notice.objects.get().tries == 2


def test_after_the_last_try_it_is_not_reached(invited, mail_server, morning):
    invited("later")
    for _ in range(9):
        morning(Notice.objects.get().due_at)
        tally = send()

    assert tally == Tally(failed=1)
    assert (Notice.objects.get().status, timezone.now()) == ("failed", at(7, day=FRIDAY))


def test_where_the_clinic_s_own_server_is_away_the_round_ends(invited, settings, mail_server):
    invited("marit", "tor", "gone")
    settings.EMAIL_PORT = 1  # nobody listens there

    tally = send()

    assert (tally.waiting, tally.trouble.why) == (1, "unreached")
    assert [(status, why) for status, why, _answer in results()] == [
        ("waiting", "unreached"),
        ("waiting", ""),
        ("waiting", ""),
    ]


@pytest.mark.parametrize("error", [smtplib.SMTPServerDisconnected("gone"), TimeoutError("slow")])
def test_a_connection_that_breaks_is_no_delivery(invited, mail_server, monkeypatch, error):
    def broken(*args, **kwargs):
        raise error

    invited("marit")
    monkeypatch.setattr(smtplib.SMTP, "data", broken)
    tally = send()

    assert (tally.waiting, tally.sent, tally.trouble.why) == (1, 0, "unreached")
    assert mail_server.messages == []


def test_a_message_that_can_not_be_made_does_not_keep_the_others(invited, mail_server, monkeypatch):
    invited("marit", "tor")
    broken = Notice.objects.order_by("pk").first()

    def letter(notice):
        return {}["grip"] if notice.pk == broken.pk else letter_of(notice)

    monkeypatch.setattr("cases.sending.letter_of", letter)
    tally = send()

    assert tally == Tally(sent=1, failed=1)
    assert results()[0] == ("failed", "unmade", "KeyError")


def test_what_is_not_needed_any_more_is_not_sent(invited, mail_server, morning):
    invited("marit", "tor", "ana", "bo")
    _first, second, third, _fourth = Notice.objects.order_by("pk")
    Patient.objects.filter(email="marit@example.org").update(mail_agreed=False)
    second.appointment.mark("arrived")
    Appointment.objects.filter(pk=third.appointment_id).update(sequence=4)
    morning(at(11, 59, day=FRIDAY))
    tally = send()

    assert tally == Tally(sent=1, dropped=3)
    assert [why for _status, why, _answer in results()] == ["taken back", "over", "overtaken", ""]


def test_when_the_appointment_has_begun_nothing_is_sent(invited, mail_server, morning):
    invited("marit")
    morning(at(9, day=FRIDAY))

    assert send() == Tally(dropped=1)
    assert (results()[0][1], mail_server.messages) == ("over", [])


def test_a_move_and_a_cancellation_come_with_their_entries(invited, mail_server):
    invited("marit")
    send()
    booked = Notice.objects.get().appointment
    move(booked)
    send()
    booked.cancel(reason="has a cold")
    send()

    entries = [next(message.iter_attachments()) for message in mail_server.messages]
    said = [
        (entry["Content-Type"].params["method"], entry.get_content().count(f"SEQUENCE:{number}"))
        for number, entry in enumerate(entries)
    ]
    assert said == [("REQUEST", 0), ("REQUEST", 1), ("CANCEL", 1)]
    assert len(set(mail_server.ids)) == 3


def test_a_process_that_stopped_in_the_middle_leaves_a_notice_for_a_person(
    invited, mail_server, morning
):
    invited("marit")
    claimed = Notice.objects.claim(Notice.objects.get().pk, now=timezone.now())
    morning(at(9))

    assert send() == Tally(failed=1)
    assert results() == [("failed", "interrupted", "")]
    assert (claimed.status, mail_server.messages) == ("sending", [])
