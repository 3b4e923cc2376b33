"""The entry as it is sent to a patient, checked against RFC 5546, and a booking's revisions."""

import datetime

import pytest
from icalendar import Calendar

from cases.invitation import invitation, sent_invitation
from cases.models import Appointment, SlotTaken
from tests.cases.test_invitation import NOW, ONCE, book, event_of, lines_of
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_physiotherapist

# RFC 5546: what 3.2.2 (REQUEST) and 3.2.5 (CANCEL) ask of an entry, and what they allow once at most.
ASKED = {
    "REQUEST": ["ATTENDEE", "DTSTAMP", "DTSTART", "ORGANIZER", "SUMMARY", "UID"],
    "CANCEL": ["ATTENDEE", "DTSTAMP", "ORGANIZER", "SEQUENCE", "STATUS", "UID"],
}
SENT_ONCE = ["ORGANIZER", "SEQUENCE", "STATUS", *ONCE]
SENDER, PATIENT = "mail@clinic.example.org", "marit@example.org"

pytestmark = pytest.mark.django_db


@pytest.fixture
def booked(physiotherapist):
    return book(physiotherapist)


def sent(appointment, **changes):
    return sent_invitation(appointment, **({"now": NOW, "sender": SENDER, "to": PATIENT} | changes))


def move(appointment, **how):
    appointment.starts_at += datetime.timedelta(**how)
    appointment.ends_at += datetime.timedelta(**how)
    appointment.keep()


def names_in(event):
    properties = event.property_items(recursive=False, sorted=True)
    return [name for name, _value in properties if name not in ("BEGIN", "END")]


def test_a_new_booking_is_revision_0_which_is_left_out(booked):
    assert (booked.sequence, "SEQUENCE" in event_of(invitation(booked, now=NOW))) == (0, False)


def test_each_move_raises_the_revision_and_keeps_the_identifier(booked):
    first = event_of(invitation(booked, now=NOW))
    move(booked, days=1)
    second = event_of(invitation(booked, now=NOW))
    move(booked, hours=1)
    third = event_of(sent(booked))

    assert first["UID"] == second["UID"] == third["UID"]
    assert (second["SEQUENCE"], third["SEQUENCE"]) == (1, 2)


@pytest.mark.parametrize("changed", ["ends_at", "practitioner"])
def test_another_length_or_practitioner_is_a_revision_too(booked, changed):
    value = {
        "ends_at": booked.ends_at + datetime.timedelta(minutes=15),
        "practitioner": create_physiotherapist(clinic=booked.clinic),
    }[changed]
    setattr(booked, changed, value)
    booked.keep()

    assert Appointment.objects.get(pk=booked.pk).sequence == 1


def test_what_no_calendar_shows_is_no_revision(booked):
    booked.kind = "review"
    booked.keep()

    assert Appointment.objects.get(pk=booked.pk).sequence == 0


def test_a_move_that_fails_is_no_revision(booked):
    other = create_appointment(
        starts_at=booked.starts_at + datetime.timedelta(days=1), practitioner=booked.practitioner
    )
    for _ in range(2):
        booked.starts_at, booked.ends_at = other.starts_at, other.ends_at
        with pytest.raises(SlotTaken):
            booked.keep()
    booked.starts_at -= datetime.timedelta(hours=2)
    booked.ends_at -= datetime.timedelta(hours=2)
    booked.keep()

    assert Appointment.objects.get(pk=booked.pk).sequence == 1


def test_cancelling_raises_the_revision(booked):
    move(booked, days=1)
    booked.cancel(reason="has a cold")

    assert Appointment.objects.get(pk=booked.pk).sequence == 2


@pytest.mark.parametrize("method", ["REQUEST", "CANCEL"])
def test_what_is_sent_has_what_the_standard_asks_of_its_method(booked, method):
    if method == "CANCEL":
        booked.cancel(reason="has a cold")
    calendar = Calendar.from_ical(sent(booked))
    (event,) = calendar.events
    names = names_in(event)

    assert calendar["METHOD"] == method
    assert [name for name in ASKED[method] if name not in names] == []
    assert [name for name in set(names) if names.count(name) > 1] == []
    assert set(names) - {"ATTENDEE", *SENT_ONCE} == set()


def test_a_cancellation_says_that_the_whole_entry_is_off(booked):
    invited = event_of(sent(booked))
    booked.cancel(reason="has a cold")
    off = event_of(sent(booked))

    assert (invited["STATUS"], off["STATUS"]) == ("CONFIRMED", "CANCELLED")
    assert (off["UID"], off["SEQUENCE"]) == (invited["UID"], 1)
    assert b"cold" not in sent(booked)


def test_the_clinic_invites_and_the_patient_need_not_answer(booked):
    event = event_of(sent(booked))

    assert (event["ORGANIZER"], event["ATTENDEE"]) == (
        "mailto:desk@example.org",
        f"mailto:{PATIENT}",
    )
    assert dict(event["ORGANIZER"].params) == {
        "CN": "Quayside Clinic",
        "SENT-BY": f"mailto:{SENDER}",
    }
    assert dict(event["ATTENDEE"].params) == {"PARTSTAT": "ACCEPTED", "RSVP": "FALSE"}


@pytest.mark.parametrize(("email", "organizer"), [("", SENDER), (SENDER, SENDER)])
def test_where_the_clinic_has_no_other_address_nobody_sends_for_it(booked, email, organizer):
    booked.clinic.email = email
    found = event_of(sent(booked))["ORGANIZER"]

    assert (found, dict(found.params)) == (f"mailto:{organizer}", {"CN": "Quayside Clinic"})


@pytest.mark.parametrize(
    ("address", "written"),
    [
        ("marit+clinic@example.org", "mailto:marit+clinic@example.org"),
        ("who?me@example.org", "mailto:who%3Fme@example.org"),
        ("50%off@example.org", "mailto:50%25off@example.org"),
    ],
)
def test_signs_that_mean_something_in_an_address_are_written_in_code(booked, address, written):
    assert event_of(sent(booked, to=address))["ATTENDEE"] == written


@pytest.mark.parametrize("name", ['Quay "East"; Pier, West', "Q" * 120, "Pier\nBEGIN:VALARM"])
def test_the_clinic_s_name_comes_back_from_what_is_sent(booked, name):
    booked.clinic.name = name
    entry = sent(booked)

    assert [line for line in lines_of(entry) if len(line) > 75] == []
    assert event_of(entry)["ORGANIZER"].params["CN"] == name
    assert [part.name for part in Calendar.from_ical(entry).walk()] == ["VCALENDAR", "VEVENT"]
