"""A practitioner's calendar for ordinary calendar apps, read back by the icalendar package."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from cases.feed import initials
from cases.invitation import identifier
from cases.models import CalendarKey
from clinic.models import AuditEvent
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_manager, create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("outside_a_request")]
ADDRESS = reverse("cases:calendar_address")
# RFC 5545, 3.6 and 3.6.1: what a calendar and an entry in it need.
REQUIRED = {"VCALENDAR": ["PRODID", "VERSION"], "VEVENT": ["DTSTAMP", "DTSTART", "UID"]}


@pytest.fixture
def patient(physiotherapist):
    return create_patient(
        clinic=physiotherapist.clinic, given_name="Marit Ann", family_name="Oyelaran"
    )


@pytest.fixture
def booked(physiotherapist, patient):
    case = create_case(lead=physiotherapist, patient=patient)
    return create_appointment(
        starts_at=timezone.now().replace(microsecond=0) + datetime.timedelta(days=3),
        practitioner=physiotherapist,
        patient=patient,
        case=case,
    )


def address_of(staff):
    return reverse("cases:feed", args=[CalendarKey.objects.give(staff)])


def events_at(client, address):
    return Calendar.from_ical(client.get(address).content).events


def test_a_calendar_program_reads_it_without_signing_in(client, booked, physiotherapist):
    response = client.get(address_of(physiotherapist))
    calendar = Calendar.from_ical(response.content)
    parts = {part.name: part for part in calendar.walk()}

    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert calendar.validate() is None
    assert {
        name: [prop for prop in props if prop in parts[name]] for name, props in REQUIRED.items()
    } == REQUIRED
    assert "METHOD" not in calendar


def test_an_entry_says_initials_and_kind_and_nothing_else(client, booked, physiotherapist):
    (event,) = events_at(client, address_of(physiotherapist))
    said = {
        name
        for name, _value in event.property_items(recursive=False)
        if name not in ("BEGIN", "END")
    }

    assert str(event["SUMMARY"]) == "M. A. O., follow-up"
    assert said == {"CLASS", "DTEND", "DTSTAMP", "DTSTART", "SUMMARY", "UID"}
    assert (event.start, event.end) == (booked.starts_at, booked.ends_at)
    assert str(event["UID"]) == str(identifier(booked))


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("Marit Oyelaran", "M. O."),
        ("Δέσποινα Преображенская", "Δ. П."),
        ("Jo  de Vries", "J. d. V."),
    ],
)
def test_initials_are_the_first_letter_of_each_part(name, letters):
    given, family = name.split(" ", 1)

    assert initials(create_patient(given_name=given, family_name=family)) == letters


@pytest.mark.parametrize(
    ("days", "fields", "shown"),
    [
        (-29, {"status": "seen"}, 1),
        (-31, {"status": "seen"}, 0),
        (365, {}, 1),
        (367, {}, 0),
        (3, {"status": "cancelled"}, 0),
        (-1, {"status": "missed"}, 1),
    ],
)
def test_a_month_back_and_a_year_ahead_without_the_cancelled(
    client, physiotherapist, patient, days, fields, shown
):
    starts = timezone.now() + datetime.timedelta(days=days)
    create_appointment(starts_at=starts, practitioner=physiotherapist, patient=patient, **fields)

    assert len(events_at(client, address_of(physiotherapist))) == shown


def test_a_colleagues_appointments_are_not_in_it(client, booked, physiotherapist):
    colleague = create_physiotherapist(clinic=physiotherapist.clinic)

    assert events_at(client, address_of(colleague)) == []


def test_a_secret_that_nobody_has_does_not_exist(client, booked, physiotherapist):
    CalendarKey.objects.give(physiotherapist)

    assert client.get(reverse("cases:feed", args=["x" * 43])).status_code == 404


def test_a_second_address_closes_the_first(client, booked, physiotherapist):
    first, second = address_of(physiotherapist), address_of(physiotherapist)

    assert [client.get(address).status_code for address in (first, second)] == [404, 200]


def test_an_address_that_was_taken_back_opens_nothing(signed_in, client, booked, physiotherapist):
    address = address_of(physiotherapist)
    key = CalendarKey.objects.held_by(physiotherapist).get()
    signed_in(physiotherapist).post(reverse("cases:calendar_revoke", args=[key.pk]))

    assert client.get(address).status_code == 404


def test_who_left_the_clinic_reads_no_more(client, booked, physiotherapist):
    address = address_of(physiotherapist)
    physiotherapist.is_active = False
    physiotherapist.save()

    assert client.get(address).status_code == 404


def test_the_database_keeps_no_secret_and_one_key_a_person(booked, physiotherapist):
    secret = CalendarKey.objects.give(physiotherapist)
    key = CalendarKey.objects.get()

    assert secret not in str(vars(key))
    with pytest.raises(IntegrityError), transaction.atomic():
        CalendarKey.objects.create(practitioner=physiotherapist, digest="0" * 64)
    with pytest.raises(ValidationError, match="one calendar address a person"):
        CalendarKey(
            practitioner=physiotherapist, clinic=physiotherapist.clinic, digest="1" * 64
        ).full_clean()


def test_what_did_not_change_is_not_sent_again(client, booked, physiotherapist):
    address = address_of(physiotherapist)
    first = client.get(address)
    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    booked.starts_at += datetime.timedelta(minutes=15)
    booked.ends_at += datetime.timedelta(minutes=15)
    booked.keep()
    moved = client.get(address, headers={"If-None-Match": first["ETag"]})

    assert (again.status_code, again.content, moved.status_code) == (304, b"", 200)
    assert first["Cache-Control"] == "no-store"


def test_the_page_shows_the_address_once_and_it_works(signed_in, booked, physiotherapist):
    page = signed_in(physiotherapist).post(ADDRESS, follow=True)
    address = page.context["address"]

    assert f'value="{address}"' in page.content.decode()
    assert len(events_at(page.client, address)) == 1
    assert page.client.get(ADDRESS).context["address"] is None


def test_the_day_of_the_last_reading_is_the_clinics(client, physiotherapist, monkeypatch):
    address = address_of(physiotherapist)
    late = datetime.datetime(2026, 7, 15, 23, 30, tzinfo=datetime.UTC)  # half past midnight there
    monkeypatch.setattr(timezone, "now", lambda: late)
    client.get(address)

    assert CalendarKey.objects.get().read_on == datetime.date(2026, 7, 16)


def test_the_day_of_the_last_reading_is_shown(signed_in, booked, physiotherapist):
    client = signed_in(physiotherapist)
    client.get(address_of(physiotherapist))

    assert "A calendar app last asked on" in client.get(ADDRESS).content.decode()


def test_making_and_taking_back_stand_in_the_trail(signed_in, physiotherapist):
    client = signed_in(physiotherapist)
    client.post(ADDRESS)
    client.post(reverse("cases:calendar_revoke", args=[CalendarKey.objects.get().pk]))

    assert list(AuditEvent.objects.order_by("pk").values_list("verb", "object_id")) == [
        ("made calendar address", physiotherapist.pk),
        ("took back calendar address", physiotherapist.pk),
    ]


def test_who_sees_no_patients_gets_none(signed_in, front_desk):
    page = signed_in(front_desk).post(ADDRESS)

    assert (page.status_code, CalendarKey.objects.count()) == (200, 0)


@pytest.mark.parametrize(
    ("who", "status"), [("manager", 302), ("front_desk", 404), ("colleague", 404), ("abroad", 404)]
)
def test_a_manager_may_take_back_anybodys_of_the_clinic(
    request, signed_in, physiotherapist, who, status
):
    CalendarKey.objects.give(physiotherapist)
    key = CalendarKey.objects.get()
    people = {
        "colleague": lambda: create_physiotherapist(clinic=physiotherapist.clinic),
        "abroad": create_manager,
    }
    person = people[who]() if who in people else request.getfixturevalue(who)
    response = signed_in(person).post(reverse("cases:calendar_revoke", args=[key.pk]))

    assert response.status_code == status
    assert CalendarKey.objects.valid().exists() is (status != 302)


def test_three_appointments_cost_no_more_queries_than_one(
    client, booked, physiotherapist, patient, django_assert_num_queries
):
    address = address_of(physiotherapist)
    client.get(address)
    for day in (4, 5):
        starts = timezone.now() + datetime.timedelta(days=day)
        create_appointment(starts_at=starts, practitioner=physiotherapist, patient=patient)

    with django_assert_num_queries(2):
        client.get(address)


def test_a_name_with_signs_that_a_calendar_reads_stays_a_name(client, booked, physiotherapist):
    """RFC 5545, 3.3.11: in a text each comma, semicolon and line's end is written as an escape."""
    physiotherapist.last_name = "Vik, PT; MSc\r\nBEGIN:VALARM"
    physiotherapist.save()

    lines = (
        client.get(address_of(physiotherapist)).content.decode().replace("\r\n ", "").split("\r\n")
    )

    (name,) = [line for line in lines if line.startswith("NAME:")]
    assert name.endswith(r"Vik\, PT\; MSc\nBEGIN:VALARM")
    assert "BEGIN:VALARM" not in lines
