"""`manage.py send_reminders`: what it says and when it fails."""

import io

import pytest
from django.core.management import CommandError, call_command

from cases.models import Notice
from tests.cases.booking import book
from tests.cases.conftest import at
from tests.cases.test_reminders import SATURDAY
from tests.factories.cases import create_appointment, create_patient_by_mail

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning", "outside_a_request")]


@pytest.fixture
def two_waiting(physiotherapist):
    """An invitation that waits, and a reminder that is not written yet but due at nine."""
    patient = create_patient_by_mail(by=physiotherapist, record_number=7)
    book(physiotherapist, patient)
    create_appointment(
        starts_at=at(10, day=SATURDAY), practitioner=physiotherapist, patient=patient
    )


def run(**options):
    out = io.StringIO()
    call_command("send_reminders", stdout=out, **options)
    return out.getvalue().splitlines()


def test_it_writes_reminders_and_sends_all_that_waits(two_waiting, morning, mail_server):
    morning(at(9))

    assert run() == ["2 sent, 0 to be tried again, 0 not reached, 0 not needed any more."]
    assert run() == ["0 sent, 0 to be tried again, 0 not reached, 0 not needed any more."]
    assert [message["Subject"].partition(": ")[2] for message in mail_server.messages] == [
        "your appointment on Friday, 13 Mar 2026, 09:00",
        "your appointment on Saturday, 14 Mar 2026, 10:00",
    ]


def test_a_dry_run_says_what_would_go_out_and_names_nobody(two_waiting, morning, mail_server):
    morning(at(9))

    assert run(dry_run=True) == [
        "booked     record 0007, Fri 13 Mar 2026 09:00",
        "reminder   record 0007, Sat 14 Mar 2026 10:00",
        "2 would be sent now. Nothing was sent.",
    ]
    assert (mail_server.messages, Notice.objects.count()) == ([], 1)


def test_without_a_mail_server_it_fails_with_a_sentence(two_waiting, settings):
    settings.SENDS_EMAIL = False

    with pytest.raises(
        CommandError, match=r"^EMAIL_HOST is not set: nothing was sent, 1 waiting\.$"
    ):
        run()
    assert Notice.objects.get().status == "waiting"


def test_a_mail_server_that_is_away_makes_it_fail(two_waiting, mail_server, settings):
    settings.EMAIL_PORT = 1

    with pytest.raises(CommandError, match=r"^The clinic's mail server could not be reached\. "):
        run()


def test_patients_that_are_not_reached_do_not_make_it_fail(physiotherapist, mail_server):
    book(physiotherapist, create_patient_by_mail(by=physiotherapist, email="gone@example.org"))

    assert run() == ["0 sent, 0 to be tried again, 1 not reached, 0 not needed any more."]
