"""The view that prints the appointment card."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from clinic.models import AuditEvent
from rehab.models import Handout
from rehab.printing import gather, gather_appointments
from rehab.printing.paper import LARGE
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_front_desk
from tests.rehab.printing.scanning import codes_on
from tests.rehab.printing.sheets import page_texts

NOW = datetime.datetime(2026, 3, 12, 12, 0, tzinfo=datetime.UTC)
SOON = datetime.datetime(2026, 3, 26, 9, 30, tzinfo=datetime.UTC)


@pytest.fixture
def patient(physiotherapist):
    return create_patient(clinic=physiotherapist.clinic, family_name="Oyelaran", record_number=217)


@pytest.fixture
def address(patient):
    return reverse("rehab:appointment_card", args=[patient.pk])


def book(patient, practitioner, *, days: int = 0, since=SOON, **fields):
    starts = since + datetime.timedelta(days=days)
    return create_appointment(
        starts_at=starts, practitioner=practitioner, patient=patient, **fields
    )


def test_the_card_opens_under_a_name_without_the_patients(
    signed_in, front_desk, physiotherapist, patient, address
):
    book(patient, physiotherapist, since=timezone.now(), days=3)
    response = signed_in(front_desk).get(address)

    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="appointments-0217.pdf"'
    assert "Your next appointment." in page_texts(response.content)[0]
    assert len(codes_on(response.content)) == 1


def test_the_print_is_one_row_of_the_audit_trail(signed_in, front_desk, patient, address):
    signed_in(front_desk).get(address)

    events = AuditEvent.objects.filter(verb="printed").values_list(
        "actor", "object_type", "object_id", "detail"
    )
    detail = {"what": "appointment card", "sha": Handout.objects.get().mark}
    assert list(events) == [(front_desk.pk, "patient", patient.pk, detail)]


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_of_the_clinic_may_print_it(request, signed_in, address, role):
    assert signed_in(request.getfixturevalue(role)).get(address).status_code == 200


def test_another_clinics_patient_does_not_exist(signed_in, address):
    assert signed_in(create_front_desk()).get(address).status_code == 404


def test_it_is_only_read(signed_in, front_desk, address):
    assert signed_in(front_desk).post(address).status_code == 405


def test_a_name_that_the_type_lacks_is_said(signed_in, front_desk, patient, address):
    patient.family_name = "王"
    patient.save()
    response = signed_in(front_desk).get(address)

    assert response.status_code == 422
    assert "the type has no sign for “王”" in response.content.decode()


def test_the_papers_page_leads_to_the_card(signed_in, front_desk, patient, address):
    page = signed_in(front_desk).get(reverse("rehab:papers", args=[patient.pk]))

    assert f'href="{address}"' in page.content.decode()


def test_what_is_booked_stands_in_order_and_nothing_else(physiotherapist, patient):
    case = create_case(lead=physiotherapist, patient=patient)
    book(patient, physiotherapist, days=7)
    book(patient, physiotherapist, case=case)
    book(patient, physiotherapist, days=3, status="cancelled")
    book(patient, physiotherapist, days=-30, status="seen")
    book(create_patient(clinic=patient.clinic), physiotherapist, days=1)
    card = gather_appointments.appointment_card(patient, now=NOW)

    assert [visit.on.isoformat() for visit in card.appointments] == ["2026-03-26", "2026-04-02"]
    assert [bool(visit.entry) for visit in card.appointments] == [True, False]


@pytest.mark.parametrize(("booked", "shown", "more"), [(0, 0, False), (6, 6, False), (8, 6, True)])
def test_six_are_shown_and_the_rest_is_known(physiotherapist, patient, booked, shown, more):
    for day in range(booked):
        book(patient, physiotherapist, days=day)
    card = gather_appointments.appointment_card(patient, now=NOW)

    assert (len(card.appointments), card.more) == (shown, more)


def test_six_appointments_cost_no_more_queries_than_one(
    physiotherapist, patient, django_assert_num_queries
):
    book(patient, physiotherapist)
    with django_assert_num_queries(3):
        gather_appointments.appointment_card(patient, now=NOW)

    for day in range(1, 6):
        book(patient, physiotherapist, days=day)
    with django_assert_num_queries(3):
        gather_appointments.appointment_card(patient, now=NOW)


def test_the_times_are_the_clinics_own(physiotherapist, patient):
    book(patient, physiotherapist)
    with timezone.override("America/New_York"):
        card = gather_appointments.appointment_card(patient, now=NOW)

    assert card.appointments[0].at == datetime.time(5, 30)
    assert b"DTSTART:20260326T093000Z" in card.appointments[0].entry


def test_the_card_comes_in_the_patients_print_size(patient):
    patient.print_size = patient.PrintSize.LARGE

    assert gather.paper_of(patient).body == LARGE
