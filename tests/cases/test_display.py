"""A screen on the wall: initials and times by a secret that can be taken back, and not too often."""

import datetime
import json
import zoneinfo

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from cases.display import MOST
from cases.models import Appointment, CalendarKey, DisplayKey
from cases.models.display_key import READS_A_MINUTE
from clinic.models import AuditEvent, Change
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_clinic, create_manager
from tests.headers import faults
from tests.two_clinics import create_marked, marks_in

pytestmark = pytest.mark.django_db
PAGE = reverse("cases:displays")
NOON = datetime.datetime(2026, 3, 11, 12, tzinfo=datetime.UTC)


@pytest.fixture
def at_noon(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: NOON)


@pytest.fixture
def patient(physiotherapist):
    names = {"given_name": "Marit Ann", "family_name": "Oyelaran"}
    return create_patient(clinic=physiotherapist.clinic, **names)


def address_of(clinic, name="Staff room"):
    return reverse("cases:display", args=[DisplayKey.objects.give(clinic, name=name)[1]])


def test_a_screen_reads_todays_book_without_signing_in(client, at_noon, physiotherapist, patient):
    clinic = physiotherapist.clinic
    clinic.time_zone = "America/Halifax"
    clinic.save()
    with timezone.override(clinic.time_zone):
        for day in (0, 1):
            start = NOON + datetime.timedelta(days=day, hours=2)
            create_appointment(starts_at=start, practitioner=physiotherapist, patient=patient)
        gone = NOON + datetime.timedelta(hours=4)
        cancelled = Appointment.Status.CANCELLED
        create_appointment(
            starts_at=gone, practitioner=physiotherapist, patient=patient, status=cancelled
        )
        answer = client.get(address_of(clinic))

    assert answer["Content-Type"] == "application/json"
    assert answer["Cache-Control"] == "no-store"
    assert faults(answer) == []
    assert answer.json() == {
        "version": 1,
        "clinic": clinic.name,
        "day": "2026-03-11",
        "book": [
            {
                "starts": "2026-03-11T11:00:00-03:00",
                "ends": "2026-03-11T11:30:00-03:00",
                "with": str(physiotherapist),
                "who": "M. A. O.",
                "status": "booked",
            }
        ],
        "due": {"people": 0, "overdue": 0, "first": []},
    }


def test_who_is_due_most_overdue_first(client, physiotherapist, patient):
    today = timezone.localdate(timezone=zoneinfo.ZoneInfo(physiotherapist.clinic.time_zone))
    for days in (-2, 5, -9):
        due = today + datetime.timedelta(days=days)
        create_case(lead=physiotherapist, due_on=due)
    mine = today - datetime.timedelta(days=30)
    create_case(lead=physiotherapist, patient=patient, due_on=mine)

    due = client.get(address_of(physiotherapist.clinic)).json()["due"]

    assert (due["people"], due["overdue"]) == (4, 3)
    assert [one["overdue_days"] for one in due["first"]] == [30, 9, 2, 0]
    assert due["first"][0] == {"who": "M. A. O.", "due": mine.isoformat(), "overdue_days": 30}


def test_a_long_list_is_cut_and_counted_whole_in_as_many_queries(
    client, physiotherapist, django_assert_max_num_queries
):
    for days in range(MOST + 3):
        due = timezone.localdate() - datetime.timedelta(days=days)
        create_case(lead=physiotherapist, due_on=due)
    address = address_of(physiotherapist.clinic)

    with django_assert_max_num_queries(8):
        due = client.get(address).json()["due"]

    assert (due["people"], len(due["first"])) == (MOST + 3, MOST)


def test_no_name_number_or_clinical_word_is_told(client):
    """Each text of a clinic at work is marked."""
    clinic = create_marked()

    answer = client.get(reverse("cases:display", args=[clinic.numbers["display secret"]]))

    told = answer.json()
    assert told["book"]
    assert told["due"]["people"]
    assert marks_in(answer.content.decode()) == set()
    assert {key for one in told["book"] for key in one} == {
        "starts", "ends", "with", "who", "status",
    }  # fmt: skip
    assert {key for one in told["due"]["first"] for key in one} == {"who", "due", "overdue_days"}


def test_it_shows_its_own_clinic_alone(client, physiotherapist, patient):
    create_case(lead=physiotherapist, patient=patient, due_on=timezone.localdate())

    assert client.get(address_of(create_clinic())).json()["due"]["people"] == 0


def test_a_secret_that_nobody_gave_opens_nothing(client, physiotherapist):
    address_of(physiotherapist.clinic)

    assert client.get(reverse("cases:display", args=["x" * 43])).status_code == 404


def test_a_calendars_secret_opens_no_screen(client, physiotherapist):
    secret = CalendarKey.objects.give(physiotherapist)

    assert client.get(reverse("cases:display", args=[secret])).status_code == 404


def test_nothing_can_be_sent_to_it(client, physiotherapist):
    assert client.post(address_of(physiotherapist.clinic)).status_code == 405


def test_what_did_not_change_is_not_sent_again(client, physiotherapist):
    address = address_of(physiotherapist.clinic)
    first = client.get(address)
    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    create_case(lead=physiotherapist, due_on=timezone.localdate())
    changed = client.get(address, headers={"If-None-Match": first["ETag"]})

    assert (again.status_code, again.content, changed.status_code) == (304, b"", 200)


def test_reading_leaves_no_change_in_the_journal_and_no_event(client, physiotherapist):
    """A screen asks twice a minute for years: what counts its readings is no change of a record."""
    address = address_of(physiotherapist.clinic)
    before = Change.objects.count(), AuditEvent.objects.count()

    assert [client.get(address).status_code for _number in range(3)] == [200] * 3
    assert (Change.objects.count(), AuditEvent.objects.count()) == before
    assert (DisplayKey.objects.get().reads, before[0] > 0) == (3, True)


def test_a_screen_gone_wild_waits_for_the_next_minute(client, physiotherapist, monkeypatch):
    addresses = [address_of(physiotherapist.clinic, name) for name in ("Desk", "Staff room")]
    monkeypatch.setattr(timezone, "now", lambda: NOON + datetime.timedelta(seconds=20))
    asked = [client.get(addresses[0]).status_code for _number in range(READS_A_MINUTE)]
    refused, other = client.get(addresses[0]), client.get(addresses[1])
    monkeypatch.setattr(timezone, "now", lambda: NOON + datetime.timedelta(seconds=60))

    assert set(asked) == {200}
    # Too Many Requests (RFC 6585, 4), with the seconds to wait (RFC 9110, 10.2.3)
    assert (refused.status_code, refused["Retry-After"], refused.content) == (429, "40", b"")
    assert other.status_code == 200
    assert client.get(addresses[0]).status_code == 200


def test_the_page_shows_the_address_once_and_it_works(signed_in, manager):
    page = signed_in(manager).post(PAGE, {"name": "Staff room"}, follow=True)
    address = page.context["address"]

    assert f'value="{address}"' in page.content.decode()
    assert page.client.get(address).json()["clinic"] == manager.clinic.name
    assert page.client.get(PAGE).context["address"] is None


def test_an_address_that_was_taken_back_opens_nothing(signed_in, client, manager):
    address = address_of(manager.clinic)
    key = DisplayKey.objects.get()
    signed_in(manager).post(reverse("cases:display_revoke", args=[key.pk]))

    assert client.get(address).status_code == 404
    assert list(AuditEvent.objects.values_list("verb", "object_id")) == [
        ("took back display address", key.pk)
    ]


@pytest.mark.parametrize(
    ("name", "why"), [("Staff room", "has an address already"), ("", "Say where the screen hangs")]
)
def test_a_name_is_there_once_and_never_empty(signed_in, manager, name, why):
    address_of(manager.clinic)
    page = signed_in(manager).post(PAGE, {"name": name})

    assert page.status_code == 422
    assert why in page.content.decode()
    with pytest.raises(IntegrityError), transaction.atomic():
        DisplayKey.objects.give(manager.clinic, name=name)


def test_a_name_is_free_again_when_its_address_was_taken_back(manager):
    key, _secret = DisplayKey.objects.give(manager.clinic, name="Staff room")
    key.revoke()

    assert DisplayKey.objects.give(manager.clinic, name="Staff room")[0].pk != key.pk
    assert DisplayKey.objects.give(create_manager().clinic, name="Staff room")


def test_the_database_keeps_no_secret(manager):
    key, secret = DisplayKey.objects.give(manager.clinic, name="Staff room")

    assert secret not in json.dumps(vars(key), default=str)


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_only_a_manager_gives_addresses(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == 403


def test_a_day_is_the_clinics_own(client, monkeypatch, physiotherapist, patient):
    """Two in the morning in Auckland is still yesterday in UTC."""
    clinic, zone = physiotherapist.clinic, zoneinfo.ZoneInfo("Pacific/Auckland")
    clinic.time_zone = zone.key
    clinic.save()
    night = datetime.datetime(2026, 3, 11, 2, tzinfo=zone)
    monkeypatch.setattr(timezone, "now", lambda: night.astimezone(datetime.UTC))
    create_appointment(
        starts_at=night.replace(hour=9), practitioner=physiotherapist, patient=patient
    )

    told = client.get(address_of(clinic)).json()

    assert (told["day"], len(told["book"])) == ("2026-03-11", 1)
