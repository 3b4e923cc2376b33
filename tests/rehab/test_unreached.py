"""A sheet that tells a patient whom to call waits until the clinic knows its own numbers."""

import pytest

from rehab.models import Handout
from tests.factories.rehab import create_issued

REACHED = ("address", "phone", "emergency_phone")


@pytest.fixture
def program(case):
    return create_issued(case=case)


def pages(program) -> list[str]:
    return [
        f"/programs/{program.pk}/home-program.pdf",
        f"/programs/{program.pk}/home-program/",
        f"/programs/{program.pk}/home-program.html",
        f"/programs/{program.pk}/diary.pdf",
        f"/cases/{program.case_id}/self-check.pdf",
        f"/cases/{program.case_id}/summary.pdf",
        f"/cases/{program.case_id}/summary/",
        f"/cases/{program.case_id}/summary.html",
        f"/patients/{program.case.patient_id}/appointment-card.pdf",
    ]


@pytest.mark.parametrize("missing", REACHED)
def test_no_sheet_for_a_patient_is_set_without_it(browser, program, missing):
    setattr(program.clinic, missing, "")
    program.clinic.save()

    for page in pages(program):
        answer = browser.get(page)
        assert answer.status_code == 422, page
        assert "would not say whom to call" in answer.content.decode()
    assert not Handout.objects.exists()


def test_with_all_three_each_is_set(browser, program):
    assert {browser.get(page).status_code for page in pages(program)} == {200}


def test_what_stays_in_the_house_needs_none(browser, case):
    for field in REACHED:
        setattr(case.clinic, field, "")
    case.clinic.save()

    assert browser.get(f"/cases/{case.pk}/course.pdf").status_code == 200
