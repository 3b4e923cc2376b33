import pytest
from django.http import Http404

from cases import access
from tests.cases.conftest import at
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_clear_screening,
    create_patient,
    create_visit,
)
from tests.factories.clinic import create_front_desk

pytestmark = pytest.mark.django_db


def an_answer():
    case = create_case()
    return create_clear_screening(case=case).answers.first()


ROWS = [
    (access.patient_or_404, create_patient),
    (access.case_or_404, create_case),
    (access.visit_or_404, create_visit),
    (access.screening_answer_or_404, an_answer),
    (access.appointment_or_404, lambda: create_appointment(starts_at=at(9))),
]


@pytest.mark.parametrize(("fetch", "create"), ROWS)
def test_staff_find_a_row_of_their_own_clinic(fetch, create):
    row = create()

    assert fetch(create_front_desk(clinic=row.clinic), row.pk) == row


@pytest.mark.parametrize(("fetch", "create"), ROWS)
def test_a_row_of_another_clinic_does_not_exist(fetch, create):
    row = create()

    with pytest.raises(Http404):
        fetch(create_front_desk(), row.pk)


@pytest.mark.parametrize(("fetch", "create"), ROWS)
def test_a_row_can_be_held_while_it_changes(fetch, create):
    row = create()

    assert fetch(create_front_desk(clinic=row.clinic), row.pk, lock=True) == row
