"""The benchmark builds what it says, and its floors show what the pages show; no time is looked at."""

import datetime

import pytest
from django.db import IntegrityError, connection
from django.test import override_settings

from cases.models import Appointment, Case, Patient, Visit
from clinic.models import Change
from rehab.models import Decision, DiaryDay
from tests.benchmarks import clinics, copies, pages, writes
from tests.operations.server import database_url, running

pytestmark = pytest.mark.django_db(transaction=True, reset_sequences=True)
COPIES, CLINICS = 6, 2


@pytest.fixture
def leads():
    """Two clinics with three copies of the four patients each; the first of those who treat in each."""
    staff = clinics.open_clinics(CLINICS)
    clinics.tell_four(staff[0][0])
    copies.copy(clinics.planned(COPIES, staff))
    return [people[0] for people in staff]


def test_every_copy_is_a_whole_record_in_its_clinic(leads):
    connection.check_constraints()

    for lead in leads:
        own = [model.objects.of(lead.clinic).count() for model in (Patient, Case, Visit)]
        assert own == [12, 12, 120]
    assert (
        Decision.objects.count() == COPIES * Decision.objects.filter(pk__lt=copies.STRIDE).count()
    )
    assert (
        DiaryDay.objects.count() == COPIES * DiaryDay.objects.filter(pk__lt=copies.STRIDE).count()
    )
    assert Patient.objects.named("template").exists()
    assert not Patient.objects.filter(pk__gt=copies.STRIDE).named("template").exists()
    last = Visit.objects.order_by("-pk").first()
    assert Visit.begin(last.case, on=last.on, by=last.practitioner).pk > last.pk


@pytest.mark.parametrize("story", clinics.FOUR, ids=lambda story: story.person.given)
def test_nobody_is_booked_twice_from_period_to_period(story):
    staff = clinics.open_clinics(1)
    days = [contact.day - story.opened_days_ago for contact in story.contacts]
    days += [] if story.booked is None else [story.booked]

    plan = clinics.planned(clinics.PEOPLE * len(clinics.TURNS) * 3, staff)
    taken = [(copy.lead, copy.hours, day + copy.days) for copy in plan for day in days]

    assert len(taken) == len(set(taken)) > 2000


def test_triggers_are_back_after_copying(leads):
    visit = Visit.objects.signed().filter(pk__gt=copies.STRIDE).first()

    with pytest.raises(IntegrityError, match="visit_signed_stays"):
        Visit.objects.filter(pk=visit.pk).update(plan="Another.")
    Patient.objects.filter(pk__gt=copies.STRIDE).update(phone="+44 1632 960177")
    assert Change.objects.filter(kind="changed").count() >= 20


def test_floors_show_the_patients_of_their_pages(leads, client):
    lead = leads[0]
    client.force_login(lead)
    today = Appointment.objects.filter(practitioner=lead).on_day(datetime.date.today())
    assert today.exists()

    for floor, page in pages.floors(lead)[1:]:
        with override_settings(ROOT_URLCONF=pages.FLOORS):
            least, shown = (client.get(ask.address).content.decode() for ask in (floor, page))
        found = {
            family
            for (family,) in Patient.objects.values_list("family_name").distinct()
            if family in shown
        }
        assert found
        assert [family for family in found if family not in least] == []


def test_pages_and_what_clients_write_are_measured_through_a_server(leads, tmp_path, monkeypatch):
    monkeypatch.setattr(writes, "CLIENTS", (2,))
    monkeypatch.setattr(writes, "WARM_UP_S", 0.1)
    asked = [ask for pair in pages.floors(leads[0]) for ask in pair if ask]

    with running(
        database_url(), tmp_path, workers=1, variables={"TEST_URLS": pages.FLOORS}
    ) as server:
        found = pages.measure(server, asked, rounds=2)
        logged, booked = writes.measure(server, [leads[0].clinic], seconds=4)

    assert [one.page for one in found] == [ask.name for ask in asked]
    assert all(one.bytes > one.compressed > 0 for one in found[1:])
    assert all(one.queries > 1 for one in found[1:])
    assert (logged.errors, booked.errors) == (0, 0)
    assert booked.a_second > 0
