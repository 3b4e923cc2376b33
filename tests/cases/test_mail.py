"""The e-mail itself: headers, words, calendar entry, and nothing clinical anywhere in it."""

import datetime
import email
import email.policy

import pytest
from django.utils import timezone
from icalendar import Calendar

from cases.mail import letter_of, message_of
from cases.models import Intake, MailText, Notice
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_patient_by_mail,
    create_signed_visit,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("outside_a_request")]

NINE = datetime.datetime(2026, 3, 30, 8, 30, tzinfo=datetime.UTC)  # half past nine in London
# Put into every text that is about the patient's elbow or the clinic's work with it.
MARKER = "Qyx7marker"
CLINICAL = [
    "elbow",
    "physio",
    "tendin",
    "pain",
    "therap",
    "grip",
    "exercise",
    "discharge",
    "review",
]
CANCEL_REASON = f"{MARKER} pain too bad"


@pytest.fixture
def booked(physiotherapist):
    clinic = physiotherapist.clinic
    clinic.name, clinic.address = "Quayside Clinic", "1 Harbor Road\nSandhaven"
    clinic.save()
    physiotherapist.first_name, physiotherapist.last_name = "Ida", "Solvang"
    physiotherapist.save()
    patient = create_patient_by_mail(by=physiotherapist, given_name="Marit")
    case = create_case(lead=physiotherapist, patient=patient)
    write_marker(case)
    return create_appointment(
        starts_at=NINE, practitioner=physiotherapist, patient=patient, case=case, kind="discharge"
    )


def write_marker(case) -> None:
    """Write the marker wherever words about this patient's elbow are kept."""
    notes = ("subjective", "objective", "assessment", "plan", "treatment")
    create_signed_visit(case=case, **dict.fromkeys(notes, MARKER))
    told = ("story", "occupation", "sport", "earlier_treatment", "medicines", "other_joints")
    Intake.objects.create(
        case=case, rest_pain=1, worst_pain=3, nights_woken=0, **dict.fromkeys(told, MARKER)
    )
    screening = create_clear_screening(case=case, neck_nerve_root="yes")
    screening.answers.get(question="neck-nerve-root").act(MARKER, by=case.lead, at=NINE)


def notice_of(booked, occasion="booked"):
    return Notice.objects.create(
        appointment=booked,
        occasion=occasion,
        sequence=booked.sequence,
        written_at=NINE,
        due_at=NINE,
    )


def raw(notice) -> bytes:
    return message_of(notice, letter_of(notice)).message().as_bytes(linesep="\r\n")


def read(notice):
    """The e-mail as another program reads it."""
    return email.message_from_bytes(raw(notice), policy=email.policy.default)


def parts(message):
    text, calendar = message.iter_parts()
    return text, calendar


def test_the_headers_say_who_writes_to_whom(booked, settings):
    settings.DEFAULT_FROM_EMAIL = "mail@clinic.example.org"
    message = read(notice_of(booked))

    assert message["From"] == "Quayside Clinic <mail@clinic.example.org>"
    assert message["To"] == "marit@example.org"
    assert message["Reply-To"] == "desk@example.org"
    assert message["Content-Language"] == "en"
    assert [message[name] for name in ("Cc", "Bcc", "Disposition-Notification-To")] == [None] * 3


def test_automatic_answers_are_kept_away(booked):
    # RFC 3834, 5.
    assert read(notice_of(booked))["Auto-Submitted"] == "auto-generated"


def test_without_an_address_of_the_clinic_no_other_is_named(booked):
    booked.clinic.email = ""

    assert read(notice_of(booked))["Reply-To"] is None


@pytest.mark.parametrize(
    "name", ["Клиника на набережной", 'Quay "East", Pier', "Quay\nBcc: a@example.org"]
)
def test_any_name_of_the_clinic_stays_a_name(booked, name):
    booked.clinic.name = name
    message = read(notice_of(booked))

    assert message["From"].addresses[0].display_name == " ".join(name.split())
    assert message["Bcc"] is None


def test_a_second_try_has_the_same_message_id_and_another_notice_has_another(booked):
    first = notice_of(booked)
    ids = [read(notice)["Message-ID"] for notice in (first, first, notice_of(booked, "reminder"))]

    assert ids[0] == ids[1] != ids[2]
    assert b"\r\nMessage-ID: <" in raw(first)  # not folded
    assert ids[0].endswith("@example.org>")


def test_it_is_plain_text_and_one_calendar_entry(booked):
    text, calendar = parts(read(notice_of(booked)))

    assert (text.get_content_type(), text.get_content_charset()) == ("text/plain", "utf-8")
    assert calendar.get_content_type() == "text/calendar"
    # RFC 6047, 2.4: the method stands in the type too.
    assert calendar["Content-Type"].params["method"] == "REQUEST"
    assert calendar.get_content_charset() == "utf-8"
    assert (calendar.get_content_disposition(), calendar.get_filename()) == (
        "attachment",
        "appointment.ics",
    )


def test_nothing_in_it_is_fetched_or_followed(booked):
    text, calendar = parts(read(notice_of(booked)))
    said = text.get_content() + calendar.get_payload(decode=True).decode()

    assert [sign for sign in ("http", "www.", "<", "URL") if sign in said] == []


def test_the_text_says_when_where_and_with_whom(booked):
    text, _calendar = parts(read(notice_of(booked)))

    assert text.get_content().splitlines()[:8] == [
        "Hello Marit,",
        "",
        "your appointment is booked:",
        "",
        "Monday, 30 Mar 2026, 09:30",
        "with Ida Solvang",
        "Quayside Clinic, 1 Harbor Road, Sandhaven",
        "",
    ]


def test_a_patient_reads_it_in_their_language(booked):
    booked.patient.language = "es"
    message = read(notice_of(booked))

    assert message["Subject"] == "Quayside Clinic: su cita del lunes, 30 mar 2026, 09:30"
    assert "con Ida Solvang" in parts(message)[0].get_content()


@pytest.mark.parametrize("zone", ["Europe/London", "America/New_York"])
def test_the_time_is_the_clinic_s_whatever_zone_the_command_runs_in(booked, zone):
    with timezone.override(zone):
        assert "09:30" in letter_of(notice_of(booked)).subject


@pytest.mark.parametrize("occasion", ["booked", "moved", "reminder", "cancelled"])
def test_another_program_reads_the_entry(booked, occasion):
    if occasion == "cancelled":
        booked.cancel(reason=CANCEL_REASON)
    _text, part = parts(read(notice_of(booked, occasion)))
    calendar = Calendar.from_ical(part.get_payload(decode=True))

    assert calendar.validate() is None
    assert calendar["METHOD"] == part["Content-Type"].params["method"].upper()
    assert calendar["METHOD"] == ("CANCEL" if occasion == "cancelled" else "REQUEST")
    assert calendar.events[0]["DTSTAMP"].dt == NINE


def test_the_clinic_s_own_words_are_sent_where_it_has_some(booked, physiotherapist):
    MailText.objects.create(
        clinic=booked.clinic,
        occasion="booked",
        language="en",
        subject="See you\non {day}",
        body="At {time}, {minutes} minutes.",
        changed_by=physiotherapist,
    )
    other = notice_of(booked, "reminder")

    letter = letter_of(notice_of(booked))
    assert (letter.subject, letter.body) == (
        "See you on Monday, 30 Mar 2026",
        "At 09:30, 30 minutes.",
    )
    assert "we expect you" in letter_of(other).body


def test_what_was_sent_is_read_as_it_was(booked):
    notice = notice_of(booked)
    letter = letter_of(notice)
    notice.mark_sent(at=NINE, to="marit@example.org", subject=letter.subject, body=letter.body)
    booked.clinic.phone = "+44 1632 960999"

    assert letter_of(notice) == letter


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("occasion", ["booked", "moved", "reminder", "cancelled"])
def test_no_clinical_word_is_sent(booked, occasion, language):
    booked.patient.language = language
    if occasion == "cancelled":
        booked.cancel(reason=CANCEL_REASON)
    notice = notice_of(booked, occasion)
    message = read(notice)
    text, calendar = parts(message)
    said = (
        f"{message.as_string()} {text.get_content()} {calendar.get_payload(decode=True).decode()}"
    )

    assert [word for word in [MARKER, *CLINICAL] if word.lower() in said.lower()] == []
