"""What an event of the audit trail changed, in words."""

import datetime

import pytest

from cases.models import Appointment, Patient
from clinic.acting import acting
from clinic.audit import record
from clinic.journal_words import in_words
from clinic.models import AuditEvent, Change, Clinic
from tests.factories.cases import create_appointment, create_patient

pytestmark = pytest.mark.django_db

NINE = datetime.datetime(2026, 7, 2, 8, tzinfo=datetime.UTC)  # 09:00 summer time in London


def changed(person, **columns) -> AuditEvent:
    patient = create_patient(clinic=person.clinic)
    with acting(person.pk):
        Patient.objects.filter(pk=patient.pk).update(**columns)
        return record(person, "changed", patient, fields=sorted(columns))


def words(row) -> list[tuple[str, str, str]]:
    (told,) = in_words([Change.objects.of_rows(type(row), [row.pk]).latest("pk")])
    return [(column.name, column.before, column.after) for column in told.columns]


def test_before_and_after_are_read_on_the_page(manager, front_desk, signed_in):
    event = changed(front_desk, phone="+44 1632 960999", sex="male")
    page = signed_in(manager).get(f"/audit/{event.pk}/").content.decode()

    told = (str(front_desk), "Patient", "+44 1632 960100", "+44 1632 960999", "Phone", "male")
    assert [text for text in told if text not in page] == []
    assert "<strong>1</strong> row was written." in page


def test_what_was_added_is_listed_in_one_line(manager, signed_in):
    with acting(manager.pk):
        added = [create_patient(clinic=manager.clinic) for _ in range(2)]
        Patient.objects.filter(pk=added[0].pk).update(phone="+44 1632 960999")
        event = record(manager, "registered", added[0])

    page = " ".join(signed_in(manager).get(f"/audit/{event.pk}/").content.decode().split())

    assert f"patient {added[0].pk}, patient {added[1].pk} </p>" in page
    assert f"Patient {added[0].pk}: changed" in page
    assert "<strong>3</strong> rows were written." in page


def test_the_trail_links_events_that_changed_something_and_no_others(manager, signed_in):
    event = changed(manager, phone="+44 1632 960999")
    look = record(manager, "opened", manager)
    page = signed_in(manager).get("/audit/").content.decode()

    assert f'href="/audit/{event.pk}/?next=/audit/"' in page
    assert f'href="/audit/{look.pk}/' not in page


def test_a_look_at_what_was_changed_is_in_the_trail(manager, signed_in):
    event = changed(manager, phone="+44 1632 960999")

    signed_in(manager).get(f"/audit/{event.pk}/")

    seen = AuditEvent.objects.latest("pk")
    assert (seen.verb, seen.object_type, seen.object_id) == ("opened", "auditevent", event.pk)


def test_what_another_request_changed_is_not_shown(manager, front_desk, signed_in):
    event = changed(manager, phone="+44 1632 960999")
    changed(front_desk, phone="+44 1632 960888")
    changed(front_desk)

    assert "960888" not in signed_in(manager).get(f"/audit/{event.pk}/").content.decode()


def test_an_event_that_changed_nothing_says_so(manager, signed_in):
    event = record(manager, "opened", manager)
    Clinic.objects.update(phone="+44 1632 960555")  # by nobody, as that event was

    page = signed_in(manager).get(f"/audit/{event.pk}/").content.decode()

    assert "No row was written" in page
    assert "960555" not in page


def test_another_clinic_s_event_is_not_found(manager, signed_in):
    event = changed(create_appointment(starts_at=NINE).practitioner, phone="+44 1632 960999")

    assert signed_in(manager).get(f"/audit/{event.pk}/").status_code == 404


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_only_a_manager_reads_it(request, manager, signed_in, role):
    event = changed(manager, phone="+44 1632 960999")
    person = request.getfixturevalue(role)

    assert signed_in(person).get(f"/audit/{event.pk}/").status_code == 403


def test_values_are_written_as_pages_write_them(physiotherapist, settings):
    settings.TIME_ZONE = "Europe/London"
    booking = create_appointment(practitioner=physiotherapist, starts_at=NINE)
    rows = Appointment.objects.filter(pk=booking.pk)

    rows.update(status="missed", ends_at=NINE + datetime.timedelta(hours=1))
    assert words(booking) == [
        ("ends", "2 Jul 2026, 09:30", "2 Jul 2026, 10:00"),
        ("status", "booked", "missed"),
    ]
    physiotherapist.treats = physiotherapist.is_active = False
    type(physiotherapist).objects.filter(pk=physiotherapist.pk).update(
        is_active=False, registration_number=""
    )
    assert words(physiotherapist) == [
        ("active", "yes", "no"),
        ("registration number", "PH-1001", "–"),
    ]
    Patient.objects.filter(pk=booking.patient_id).update(born=datetime.date(1981, 5, 3))
    assert words(booking.patient) == [("born", "4 May 1981", "3 May 1981")]


def test_what_was_erased_is_said_to_be(manager, signed_in):
    event = changed(manager, phone="+44 1632 960999")
    Change.objects.of_event(event).empty()

    page = signed_in(manager).get(f"/audit/{event.pk}/").content.decode()
    assert "What it held was erased." in page
    assert "960999" not in page


def test_a_table_that_is_gone_keeps_its_names(manager):
    change = Change(table_name="old_table", row_id=3, kind="changed",
                    before={"old": 1}, after={"old": 2})  # fmt: skip
    (told,) = in_words([change])

    assert told.table == "old_table"
    assert [(c.name, c.before, c.after) for c in told.columns] == [("old", "1", "2")]


@pytest.mark.parametrize("rows", [1, 3])
def test_the_page_costs_the_same_however_many_rows(
    manager, signed_in, rows, django_assert_num_queries
):
    with acting(manager.pk):
        for _ in range(rows):
            create_patient(clinic=manager.clinic)
        event = record(manager, "registered")
    client = signed_in(manager)

    with django_assert_num_queries(6):
        client.get(f"/audit/{event.pk}/")
