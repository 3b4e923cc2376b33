import datetime

import pytest
from django.urls import reverse

from cases.models import Case
from clinic.models import AuditEvent
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]


@pytest.fixture
def patient(physiotherapist):
    return create_patient(clinic=physiotherapist.clinic)


def url(patient):
    return f"/patients/{patient.pk}/cases/new/"


def typed(leader, **changes):
    return {"side": "right", "onset": "2026-01-10", "lead": leader.pk} | changes


def test_a_case_opens_today(physiotherapist, signed_in, patient):
    response = signed_in(physiotherapist).post(url(patient), typed(physiotherapist))

    case = Case.objects.get()
    assert (case.patient, case.side, case.lead) == (patient, "right", physiotherapist)
    assert (case.opened, case.onset, case.status) == (THURSDAY, datetime.date(2026, 1, 10), "open")
    assert response.url == reverse("rehab:case", args=[case.pk])
    assert AuditEvent.objects.get().verb == "opened a case"


def test_what_is_booked_for_no_case_goes_with_the_first_one_and_not_with_a_second(
    physiotherapist, signed_in, patient
):
    here = {"patient": patient, "practitioner": physiotherapist}
    gone = create_appointment(starts_at=at(9), status="missed", **here)
    before = create_appointment(starts_at=at(9, day=THURSDAY - datetime.timedelta(days=1)), **here)
    coming = create_appointment(starts_at=at(10), **here)
    client = signed_in(physiotherapist)

    client.post(url(patient), typed(physiotherapist))
    later = create_appointment(starts_at=at(11), **here)
    client.post(url(patient), typed(physiotherapist, side="left"))

    for appointment in (gone, before, coming, later):
        appointment.refresh_from_db()
    assert coming.case == Case.objects.get(side="right")
    assert [one.case for one in (gone, before, later)] == [None] * 3


def test_front_desk_opens_a_case_and_stays_with_the_patient(
    front_desk, physiotherapist, signed_in, patient
):
    response = signed_in(front_desk).post(url(patient), typed(physiotherapist))

    assert response.url == f"/patients/{patient.pk}/"
    assert Case.objects.get().lead == physiotherapist


def test_who_treats_is_proposed_as_lead(physiotherapist, front_desk, signed_in, patient):
    proposed = [signed_in(who).get(url(patient)).context["form"]["lead"].value()
                for who in (physiotherapist, front_desk)]  # fmt: skip

    assert proposed == [physiotherapist.pk, None]


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"side": ""}, "side", "Choose the elbow."),
        ({"onset": ""}, "onset", "Enter the day it began, or the best guess."),
        ({"onset": "soon"}, "onset", "Enter the day as year-month-day, for example 2026-01-10."),
        (
            {"onset": "2026-03-13"},
            "onset",
            "The complaint can't begin after today. Check the date.",
        ),
        ({"onset": "1981-05-03"}, "onset", "The complaint can't begin before the person was born."),
        ({"lead": ""}, "lead", "Choose who leads the case."),
    ],
)
def test_bad_input_is_answered_at_its_field(
    physiotherapist, signed_in, patient, changes, field, sentence
):
    response = signed_in(physiotherapist).post(url(patient), typed(physiotherapist, **changes))

    assert response.status_code == 422
    assert response.context["form"].errors == {field: [sentence]}
    assert not Case.objects.exists()


def test_a_complaint_that_began_today_is_taken(physiotherapist, signed_in, patient):
    signed_in(physiotherapist).post(url(patient), typed(physiotherapist, onset="2026-03-12"))

    assert Case.objects.get().onset == THURSDAY


def test_an_elbow_has_one_open_case(physiotherapist, signed_in, patient):
    create_case(lead=physiotherapist, patient=patient, side="right")

    response = signed_in(physiotherapist).post(url(patient), typed(physiotherapist))

    assert response.context["form"].errors == {"side": ["This elbow has an open case already."]}


@pytest.mark.parametrize("status", ["discharged", "declined"])
def test_a_closed_case_does_not_stand_in_the_way(physiotherapist, signed_in, patient, status):
    create_case(lead=physiotherapist, patient=patient, status=status, closed=THURSDAY)

    signed_in(physiotherapist).post(url(patient), typed(physiotherapist))

    assert Case.objects.open().count() == 1


def test_the_other_elbow_has_its_own_case(physiotherapist, signed_in, patient):
    create_case(lead=physiotherapist, patient=patient, side="right")

    signed_in(physiotherapist).post(url(patient), typed(physiotherapist, side="left"))

    assert Case.objects.open().count() == 2


def test_nobody_of_another_clinic_and_nobody_of_the_desk_leads(
    physiotherapist, front_desk, signed_in, patient
):
    for lead in (create_physiotherapist(), front_desk):
        response = signed_in(physiotherapist).post(url(patient), typed(lead))

        assert response.context["form"].errors == {
            "lead": ["Choose a practitioner of this clinic."]
        }


def test_a_patient_of_another_clinic_does_not_exist(physiotherapist, signed_in):
    assert signed_in(physiotherapist).get(url(create_patient())).status_code == 404


def test_other_methods_are_refused(physiotherapist, signed_in, patient):
    assert signed_in(physiotherapist).delete(url(patient)).status_code == 405
