"""The appointment as a calendar entry, checked against RFC 5545 by reading it back."""

import datetime
import zoneinfo

import pytest
from django.utils import timezone
from icalendar import Calendar

from cases.invitation import identifier, invitation, short_invitation
from tests.factories.cases import create_appointment, create_patient

NOW = datetime.datetime(2026, 3, 12, 12, 0, 30, tzinfo=datetime.UTC)
HOME = zoneinfo.ZoneInfo("Europe/London")
# RFC 5545, section 3.6 for the calendar, 3.6.1 for the entry; DTSTART because there is no METHOD.
REQUIRED = {"VCALENDAR": ["PRODID", "VERSION"], "VEVENT": ["DTSTAMP", "DTSTART", "UID"]}
ONCE = ["CLASS", "DTEND", "DTSTAMP", "DTSTART", "LOCATION", "SUMMARY", "UID"]
CLINICAL = ["elbow", "physio", "patient", "tendin", "pain", "therapy", "Marit", "Oyelaran"]

pytestmark = pytest.mark.django_db


def book(physiotherapist):
    """Half past nine, on the Monday after the clocks of the clinic's zone have gone forward."""
    clinic = physiotherapist.clinic
    clinic.name, clinic.address = "Quayside Clinic", "1 Harbor Road\r\n\r\nSandhaven"
    clinic.save()
    patient = create_patient(clinic=clinic, given_name="Marit", family_name="Oyelaran")
    starts = datetime.datetime(2026, 3, 30, 9, 30, tzinfo=HOME)
    return create_appointment(starts_at=starts, practitioner=physiotherapist, patient=patient)


@pytest.fixture
def booked(physiotherapist):
    return book(physiotherapist)


def lines_of(entry: bytes) -> list[bytes]:
    *lines, last = entry.split(b"\r\n")
    assert last == b""
    return lines


def event_of(entry: bytes):
    (event,) = Calendar.from_ical(entry).events
    return event


def test_the_entry_has_what_the_standard_requires(booked):
    calendar = Calendar.from_ical(invitation(booked, now=NOW))
    parts = {part.name: part for part in calendar.walk()}

    assert calendar.validate() is None
    assert {
        name: [prop for prop in props if prop in parts[name]] for name, props in REQUIRED.items()
    } == REQUIRED
    assert (calendar["VERSION"], calendar["PRODID"]) == (
        "2.0",
        "-//Clinic appointments//EN",
    )


def test_each_property_stands_once_and_no_other_is_sent(booked):
    event = event_of(invitation(booked, now=NOW))

    assert (
        sorted(
            name
            for name, _value in event.property_items(recursive=False, sorted=True)
            if name not in ("BEGIN", "END")
        )
        == ONCE
    )


def test_the_entry_says_clinic_place_and_time(booked):
    event = event_of(invitation(booked, now=NOW))

    assert str(event["SUMMARY"]) == "Quayside Clinic: appointment"
    assert str(event["LOCATION"]) == "1 Harbor Road, Sandhaven"
    assert (event.start, event.end) == (booked.starts_at, booked.ends_at)
    assert event["DTSTAMP"].dt == NOW


def test_the_entry_speaks_the_patient_s_language(booked):
    booked.patient.language = "es"

    assert str(event_of(invitation(booked, now=NOW))["SUMMARY"]) == "Quayside Clinic: cita"


@pytest.mark.parametrize(
    ("day", "utc"),
    [
        ((2026, 3, 28), "0930"),
        ((2026, 3, 30), "0830"),
        ((2026, 10, 24), "0830"),
        ((2026, 10, 26), "0930"),
    ],
)
def test_half_past_nine_stays_half_past_nine_through_summer_time(booked, day, utc):
    booked.starts_at = datetime.datetime(*day, 9, 30, tzinfo=HOME)
    booked.ends_at = datetime.datetime(*day, 10, 0, tzinfo=HOME)
    entry = invitation(booked, now=NOW)

    assert f"DTSTART:{day[0]}{day[1]:02}{day[2]:02}T{utc}00Z".encode() in lines_of(entry)
    assert event_of(entry).start.astimezone(HOME).strftime("%H:%M") == "09:30"


def test_an_appointment_over_the_change_keeps_its_length(booked):
    booked.starts_at = datetime.datetime(2026, 3, 29, 0, 30, tzinfo=HOME)
    booked.ends_at = datetime.datetime(2026, 3, 29, 2, 30, tzinfo=HOME)
    event = event_of(invitation(booked, now=NOW))

    assert event.end - event.start == datetime.timedelta(hours=1)


def test_a_time_without_zone_is_refused(booked):
    booked.starts_at = datetime.datetime(2026, 3, 30, 9, 30)

    with pytest.raises(ValueError, match="an entry needs times with their zone"):
        invitation(booked, now=NOW)


def test_a_moved_appointment_keeps_its_identifier(booked):
    before = event_of(invitation(booked, now=NOW))
    booked.starts_at += datetime.timedelta(days=1)
    booked.ends_at += datetime.timedelta(days=1)
    after = event_of(invitation(booked, now=NOW + datetime.timedelta(hours=1)))

    assert before["UID"] == after["UID"] == str(identifier(booked))
    assert before["DTSTAMP"].dt < after["DTSTAMP"].dt


def test_two_bookings_have_two_identifiers(booked):
    later = create_appointment(
        starts_at=booked.starts_at + datetime.timedelta(days=7),
        practitioner=booked.practitioner,
        patient=booked.patient,
    )

    assert identifier(booked) != identifier(later)


def test_no_clinical_word_and_no_patient_is_named(booked):
    said = invitation(booked, now=NOW).decode()

    assert [word for word in CLINICAL if word.lower() in said.lower()] == []


@pytest.mark.parametrize(
    "name", ["Q" * 120, "Клиника на набережной " * 5, "Harbor, Quay; and \\ Pier\nBEGIN:VALARM"]
)
def test_any_name_is_escaped_folded_and_comes_back(booked, name):
    booked.clinic.name = name
    entry = invitation(booked, now=NOW)

    assert [line for line in lines_of(entry) if len(line) > 75] == []
    assert str(event_of(entry)["SUMMARY"]) == f"{name}: appointment"
    assert [part.name for part in Calendar.from_ical(entry).walk()] == ["VCALENDAR", "VEVENT"]


def test_commas_and_line_ends_are_escaped(booked):
    booked.clinic.name = "Harbor, Quay; Pier\nWest"
    lines = lines_of(invitation(booked, now=NOW))

    assert rb"SUMMARY:Harbor\, Quay\; Pier\nWest: appointment" in lines
    assert rb"LOCATION:1 Harbor Road\, Sandhaven" in lines


def test_a_long_address_is_left_out_where_the_entry_must_stay_small(booked):
    booked.clinic.address = "Harbor Road " * 30
    whole, short = invitation(booked, now=NOW), short_invitation(booked, now=NOW, octets=362)

    assert ("LOCATION" in event_of(whole), "LOCATION" in event_of(short)) == (True, False)
    assert len(short) < 362 < len(whole)


def test_an_address_that_fits_is_kept(booked):
    short = short_invitation(booked, now=NOW, octets=362)

    assert b"LOCATION" in short


def test_on_paper_an_entry_is_stamped_with_its_day_alone(booked):
    """In the clinic's own zone, where New York's 12 March is four hours old at 08:00 UTC (summer time)."""
    with timezone.override("America/New_York"):
        early, late = (
            short_invitation(booked, now=NOW.replace(hour=hour), octets=362) for hour in (8, 23)
        )

    assert early == late
    assert b"DTSTAMP:20260312T040000Z" in early
