"""The pages of keeping and erasing: who may, what they say, and what they leave in the trail."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.models import ErasureRefusal, Hold, Patient
from clinic.models import AuditEvent, Erasure
from clinic.templatetags.clinic_tags import written
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_patient,
    create_signed_visit,
)
from tests.factories.clinic import create_manager

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient(physiotherapist):
    """Last seen in 2015; registered then, too."""
    patient = create_patient(clinic=physiotherapist.clinic)
    Patient.objects.filter(pk=patient.pk).update(registered_at="2015-03-01T09:00:00Z")
    days = {"onset": "2015-01-01", "opened": "2015-03-02"}
    case = create_case(lead=physiotherapist, patient=patient, **days)
    create_signed_visit(case=case, on="2015-03-12")
    case.close("discharged", on=timezone.localdate(), reason="Goals met.")
    return patient


@pytest.fixture
def desk(signed_in, manager):
    return signed_in(manager)


def url(name, row) -> str:
    return reverse(f"rehab:{name}", args=[row.pk])


def page(browser, address) -> str:
    return " ".join(browser.get(address).content.decode().split())


def test_a_record_whose_time_has_passed_is_listed_and_erased(desk, patient, manager):
    listed = page(desk, reverse("rehab:records_due"))
    assert str(patient) in listed
    assert "12 Mar 2023" in listed
    before = page(desk, url("record_erase", patient))
    assert "Its time passed on <strong>12 Mar 2023</strong>" in before
    assert "1 visit" in before
    assert "backups" in before

    answer = desk.post(url("record_erase", patient), {"record": patient.record})

    erasure = Erasure.objects.get()
    assert answer.url == url("record_erased", erasure)
    after = page(desk, answer.url)
    assert f"by {manager}" in after
    assert "Kept until 12 Mar 2023: 8 years after the last contact." in after
    assert "backups" in after
    assert patient.family_name not in after
    assert not Patient.objects.filter(pk=patient.pk).exists()
    assert patient.record in page(desk, reverse("rehab:records_erased"))


def test_another_number_erases_nothing(desk, patient):
    answer = desk.post(url("record_erase", patient), {"record": "999"})

    assert answer.status_code == 422
    assert "This is not the number of the record." in answer.content.decode()
    assert Patient.objects.filter(pk=patient.pk).exists()


def test_before_its_time_it_is_refused_and_the_trail_says_so(desk, physiotherapist):
    patient = create_case(lead=physiotherapist).patient
    answer = desk.post(url("record_erase", patient), {"record": patient.record})

    assert answer.status_code == 422
    said = " ".join(answer.content.decode().split())
    assert "A case is open: close it first. It has to be kept until" in said
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.object_id, event.detail) == (
        "refused",
        patient.pk,
        {"what": "erasure"},
    )


def test_what_the_patient_is_told_is_kept(desk, patient, manager):
    form = desk.get(url("record_keep", patient)).content.decode()
    assert "Yours is kept until 12 Mar 2023" in form
    asked = {"asked_on": "2016-04-01", "reason": "The law asks us to keep it."}
    desk.post(url("record_keep", patient), asked)

    refusal = ErasureRefusal.objects.get()
    assert (refusal.refused_by, str(refusal.kept_until)) == (manager, "2023-03-12")
    assert "refused on" in page(desk, url("rights", patient))
    assert "The law asks us to keep it." in page(desk, url("rights", patient))


def test_a_record_on_hold_is_off_the_list_until_it_is_lifted(desk, patient):
    placed = desk.post(url("hold_place", patient), {"reason": "A claim was announced."})
    assert "The record is on hold." in page(desk, placed.url)
    assert str(patient) not in page(desk, reverse("rehab:records_due"))
    assert "The record is on hold." in page(desk, url("record_erase", patient))
    assert "A claim was announced." in page(desk, url("rights", patient))

    desk.post(url("hold_place", patient), {"reason": "Once more."})
    assert Hold.objects.count() == 1
    desk.post(url("hold_lift", patient))
    assert str(patient) in page(desk, reverse("rehab:records_due"))


def test_a_visit_to_come_is_not_told_as_one_that_was(desk, patient, physiotherapist):
    assert "The last contact was on 12 Mar 2015." in page(desk, url("rights", patient))
    soon = timezone.now() + datetime.timedelta(days=10)
    create_appointment(starts_at=soon, practitioner=physiotherapist, patient=patient)

    day = written(soon)
    assert f"The last contact will be on {day}, as booked." in page(desk, url("rights", patient))


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk"])
def test_only_a_manager_erases(request, signed_in, patient, role):
    browser = signed_in(request.getfixturevalue(role))

    assert browser.get(url("record_erase", patient)).status_code == 403
    assert browser.post(url("record_erase", patient), {"record": 1}).status_code == 403
    assert browser.get(reverse("rehab:records_due")).status_code == 403
    assert browser.get(reverse("rehab:records_erased")).status_code == 403
    assert browser.post(url("hold_lift", patient)).status_code == 403


def test_another_clinic_has_neither_the_record_nor_what_remains_of_it(signed_in, desk, patient):
    desk.post(url("record_erase", patient), {"record": patient.record})
    theirs = create_patient(clinic=patient.clinic)
    browser = signed_in(create_manager())

    assert browser.get(url("record_erased", Erasure.objects.get())).status_code == 404
    for name in ("record_erase", "record_keep", "hold_place"):
        assert browser.get(url(name, theirs)).status_code == 404
        assert browser.post(url(name, theirs)).status_code == 404
    assert browser.post(url("hold_lift", theirs)).status_code == 404


def test_the_list_costs_the_same_however_many_records(desk, patient, django_assert_max_num_queries):
    for number in range(5):
        other = create_patient(clinic=patient.clinic, record_number=500 + number)
        Patient.objects.filter(pk=other.pk).update(registered_at="2015-03-01T09:00:00Z")
    with django_assert_max_num_queries(12):
        listed = page(desk, reverse("rehab:records_due"))
    assert "6 records" in listed
