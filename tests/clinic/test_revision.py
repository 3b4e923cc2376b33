"""The database itself tells that a clinic's book has changed, whichever way a row was written."""

import datetime
import threading

import pytest
from django.db import connection, transaction
from django.db.models import CharField, F

from cases.models import Appointment, Patient
from clinic.models import Absence, BookRevision, ClosedDay, OpeningHours
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_physiotherapist

# On PostgreSQL the count is taken when a transaction commits, so these tests commit theirs.
pytestmark = pytest.mark.django_db(transaction=True)

NINE = datetime.datetime(2026, 3, 2, 9, tzinfo=datetime.UTC)
HOUR = datetime.timedelta(hours=1)
LONG_S = 60  # only a busy machine takes a part of it


@pytest.fixture
def booked(physiotherapist):
    return create_appointment(practitioner=physiotherapist, starts_at=NINE)


def number(clinic) -> int:
    return BookRevision.objects.number_of(clinic)


def book_two_more(booked):
    return Appointment.objects.bulk_create(
        Appointment(
            clinic=booked.clinic,
            practitioner=booked.practitioner,
            patient=booked.patient,
            starts_at=NINE + hour * HOUR,
            ends_at=NINE + (hour + 1) * HOUR,
        )
        for hour in (2, 3)
    )


# In this order, each after those before it.
WRITTEN = {
    "booked": lambda booked: create_appointment(
        practitioner=booked.practitioner, patient=booked.patient, starts_at=NINE + HOUR
    ),
    "many at once": book_two_more,
    "shortened past the model": lambda booked: Appointment.objects.update(
        ends_at=F("starts_at") + HOUR / 4
    ),
    "marked": lambda booked: booked.mark("arrived"),
    "cancelled": lambda booked: booked.cancel(reason="ill"),
    "deleted": lambda booked: booked.delete(),
    "somebody is away": lambda booked: Absence.objects.create(
        staff=booked.practitioner, starts_at=NINE, ends_at=NINE + HOUR
    ),
    "somebody is back": lambda booked: Absence.objects.all().delete(),
    "a day is closed": lambda booked: ClosedDay.objects.create(
        clinic=booked.clinic, day=NINE.date(), name="Boat day"
    ),
    "other hours": lambda booked: OpeningHours.objects.update(closes=datetime.time(17)),
    "a weekday less": lambda booked: OpeningHours.objects.filter(weekday=0).delete(),
}


def test_each_change_of_the_book_raises_its_revision_and_nothing_else_does(booked):
    unseen = []
    for name, write in WRITTEN.items():
        before = number(booked.clinic)
        write(booked)
        if number(booked.clinic) <= before:
            unseen.append(name)
    before = number(booked.clinic)
    Patient.objects.update(phone="")

    assert unseen == []
    assert number(booked.clinic) == before


def test_a_change_that_is_taken_back_leaves_it_alone(booked):
    before = number(booked.clinic)

    with transaction.atomic():
        booked.mark("arrived")
        transaction.set_rollback(True)

    assert number(booked.clinic) == before


def test_another_clinic_has_a_revision_of_its_own(booked):
    other = create_physiotherapist()
    before = number(booked.clinic), number(other.clinic)

    create_appointment(practitioner=other, starts_at=NINE)

    assert number(booked.clinic) == before[0]
    assert number(other.clinic) > before[1]


def test_two_people_who_book_at_a_time_wait_only_where_there_is_one_writer(booked):
    """The counter is locked when a transaction ends, not while it works."""
    colleague = create_physiotherapist(clinic=booked.clinic)
    first_has_booked, second_is_done = threading.Event(), threading.Event()
    has_many_writers = connection.vendor == "postgresql"

    def book_beside():
        first_has_booked.wait(LONG_S)
        create_appointment(practitioner=colleague, patient=booked.patient, starts_at=NINE)
        second_is_done.set()
        connection.close()

    beside = threading.Thread(target=book_beside)
    beside.start()
    with transaction.atomic():
        booked.mark("arrived")
        first_has_booked.set()
        went_on = second_is_done.wait(LONG_S if has_many_writers else 1)
    beside.join()

    assert went_on == has_many_writers
    assert second_is_done.is_set()


def test_the_count_goes_on_after_the_table_was_rebuilt(booked):
    """SQLite rebuilds a table to alter a column, without the triggers on it."""
    reason = Appointment._meta.get_field("cancel_reason")
    longer = CharField(max_length=300, blank=True)
    longer.set_attributes_from_name("cancel_reason")
    longer.model = Appointment
    for old, new in ((reason, longer), (longer, reason)):
        with connection.schema_editor() as editor:
            editor.alter_field(Appointment, old, new)
    before = number(booked.clinic)

    booked.mark("arrived")

    assert number(booked.clinic) > before
