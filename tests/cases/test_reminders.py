"""Which appointments are reminded of, and when."""

import datetime
import zoneinfo

import pytest
from django.utils import timezone

from cases.models import Notice
from cases.reminders import to_remind, write_reminders
from clinic.models import Clinic
from tests.cases.booking import move
from tests.cases.conftest import at
from tests.factories.cases import create_appointment, create_patient, create_patient_by_mail

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning", "outside_a_request")]

SATURDAY, SUNDAY = datetime.date(2026, 3, 14), datetime.date(2026, 3, 15)


@pytest.fixture
def patient(physiotherapist):
    return create_patient_by_mail(by=physiotherapist)


@pytest.fixture
def saturday(physiotherapist, patient):
    """An appointment on Saturday at ten, two days after the stopped clock's Thursday."""
    return create_appointment(
        starts_at=at(10, day=SATURDAY), practitioner=physiotherapist, patient=patient
    )


@pytest.fixture
def reminded(physiotherapist):
    """Return a function that gives who is reminded of at a moment."""
    return lambda now: to_remind(physiotherapist.clinic, now=now)


def told(appointment, when, **fields):
    return Notice.objects.create(
        **{
            "appointment": appointment,
            "occasion": "booked",
            "sequence": appointment.sequence,
            "written_at": when,
            "due_at": when,
        }
        | fields
    )


def test_two_days_before_from_nine_in_the_morning(saturday, reminded):
    assert reminded(at(8, 59)) == []
    assert reminded(at(9)) == [saturday]


def test_a_day_on_which_the_command_did_not_run_is_made_good(saturday, reminded):
    assert reminded(at(9, 59, day=SATURDAY)) == [saturday]
    assert reminded(at(10, 1, day=SATURDAY)) == []


@pytest.mark.parametrize(
    ("days", "first"), [(1, at(9, day=SATURDAY - datetime.timedelta(1))), (7, at(8))]
)
def test_the_clinic_says_how_many_days_before(saturday, physiotherapist, days, first):
    clinic = physiotherapist.clinic
    clinic.reminder_days = days

    assert to_remind(clinic, now=first) == [saturday]
    assert days == 7 or to_remind(clinic, now=first - datetime.timedelta(minutes=1)) == []


def test_a_clinic_that_wants_none_reminds_nobody(saturday, physiotherapist):
    physiotherapist.clinic.reminder_days = 0

    assert to_remind(physiotherapist.clinic, now=at(9)) == []


@pytest.mark.parametrize(
    ("zone", "utc"),
    [("America/Los_Angeles", "2026-03-12T16:00"), ("Asia/Tokyo", "2026-03-12T00:00")],
)
def test_nine_is_nine_where_the_clinic_is(patient, physiotherapist, zone, utc):
    clinic, there = physiotherapist.clinic, zoneinfo.ZoneInfo(zone)
    clinic.time_zone = zone
    first = datetime.datetime.fromisoformat(utc).replace(tzinfo=datetime.UTC)
    late_on_saturday = datetime.datetime(2026, 3, 14, 23, 30, tzinfo=there)
    booked = create_appointment(
        starts_at=late_on_saturday, practitioner=physiotherapist, patient=patient
    )

    assert to_remind(clinic, now=first - datetime.timedelta(minutes=1)) == []
    assert to_remind(clinic, now=first) == [booked]


def test_the_change_to_summer_time_moves_no_reminder(physiotherapist, patient, reminded):
    # The clocks go forward on 29 Mar 2026 in London: two days before are not 48 hours.
    monday = datetime.date(2026, 3, 30)
    booked = create_appointment(
        starts_at=at(9, day=monday), practitioner=physiotherapist, patient=patient
    )
    day_before_the_change = datetime.date(2026, 3, 28)

    assert reminded(at(8, 59, day=day_before_the_change)) == []
    assert reminded(at(9, day=day_before_the_change)) == [booked]


def test_who_was_not_asked_or_took_it_back_is_not_reminded(physiotherapist, reminded):
    create_appointment(
        starts_at=at(10, day=SATURDAY),
        practitioner=physiotherapist,
        patient=create_patient(clinic=physiotherapist.clinic),
    )

    assert reminded(at(9)) == []


@pytest.mark.parametrize("status", ["arrived", "missed", "cancelled"])
def test_only_what_is_booked_is_reminded_of(saturday, reminded, status):
    saturday.mark(status)

    assert reminded(at(9)) == []


def test_a_clinic_reminds_of_its_own_appointments_alone(saturday):
    other = create_patient_by_mail(by=saturday.practitioner).clinic
    elsewhere = Clinic.objects.create(name="Elsewhere", address="-", phone="-", emergency_phone="1")

    assert to_remind(other, now=at(9)) == [saturday]
    assert to_remind(elsewhere, now=at(9)) == []


@pytest.mark.parametrize(("when", "expected"), [(at(8, 59), 1), (at(9), 0)])
def test_an_invitation_on_the_reminder_s_day_is_enough(saturday, reminded, when, expected):
    told(saturday, when)

    assert len(reminded(at(12))) == expected


@pytest.mark.parametrize("status", ["failed", "dropped"])
def test_an_invitation_that_nobody_read_is_not(saturday, reminded, status):
    told(saturday, at(10), status=status)

    assert reminded(at(12)) == [saturday]


def test_once_reminded_is_enough(saturday, reminded):
    told(saturday, at(9), occasion="reminder")

    assert reminded(at(12)) == []


def test_after_a_move_the_new_time_is_reminded_of_again(saturday, reminded):
    told(
        saturday, at(9), occasion="reminder", status="sent", sent_at=at(9), sent_to="a@example.org"
    )
    move(saturday, datetime.timedelta(days=7))
    next_week = SATURDAY + datetime.timedelta(days=5)

    assert reminded(at(12)) == []
    assert reminded(at(9, day=next_week)) == [saturday]


def test_the_desk_gets_one_failure_of_a_booking_and_not_two(saturday, reminded, patient):
    patient.refuse_mail(at=at(7))
    before = reminded(at(9))
    told(saturday, at(7), status="failed", why="refused before")

    assert (before, reminded(at(9))) == ([saturday], [])


def test_reminders_are_written_once_however_often_it_is_done(saturday, patient):
    for minute in (0, 5):
        write_reminders(now=at(9, minute))

    notice = Notice.objects.get()
    assert (notice.occasion, notice.clinic, notice.due_at, notice.status) == (
        "reminder",
        patient.clinic,
        at(9),
        "waiting",
    )


def test_two_that_write_at_once_write_one(saturday, monkeypatch):
    # Both have looked before either has written.
    due = to_remind(saturday.clinic, now=at(9))
    monkeypatch.setattr("cases.reminders.reminders_due", lambda now: due)
    for _ in range(2):
        write_reminders(now=at(9))

    assert Notice.objects.count() == 1


@pytest.mark.parametrize("rows", [1, 3])
def test_it_costs_the_same_however_many_are_due(physiotherapist, rows, django_assert_num_queries):
    for row in range(rows):
        create_appointment(
            starts_at=at(10 + row, day=SATURDAY),
            practitioner=physiotherapist,
            patient=create_patient_by_mail(by=physiotherapist),
        )

    # The clinics, their appointments, and one statement that writes.
    with django_assert_num_queries(3):
        write_reminders(now=at(9))
    assert Notice.objects.count() == rows


def test_the_clock_of_the_server_does_not_matter(saturday, reminded):
    with timezone.override("Asia/Tokyo"):
        assert reminded(at(8, 59)) == []
        assert reminded(at(9)) == [saturday]
