"""Closing a case."""

import pytest
from django.utils import timezone

from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_visit


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist, due_on=timezone.localdate())


def url(case) -> str:
    return f"/cases/{case.pk}/close/"


def test_a_case_is_closed_with_its_reason(physiotherapist, signed_in, case):
    response = signed_in(physiotherapist).post(
        url(case), {"status": "declined", "reason": "moved away"}
    )

    case.refresh_from_db()
    assert response.url == f"/cases/{case.pk}/"
    assert (case.status, case.discharge_reason) == ("declined", "moved away")
    assert (case.closed, case.due_on) == (timezone.localdate(), None)
    assert AuditEvent.objects.get(verb="closed a case").detail == {"status": "declined"}


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"status": "discharged"}, "Say why the case ends."),
        ({"reason": "well"}, "Choose how the case ends."),
        ({"status": "open", "reason": "well"}, "Select a valid choice"),
    ],
)
def test_what_is_missing_is_said(physiotherapist, signed_in, case, typed, sentence):
    response = signed_in(physiotherapist).post(url(case), typed)

    case.refresh_from_db()
    assert sentence in response.content.decode()
    assert case.status == "open"


def test_a_draft_visit_is_signed_first(physiotherapist, signed_in, case):
    create_visit(case=case)

    signed_in(physiotherapist).post(url(case), {"status": "discharged", "reason": "well"})

    case.refresh_from_db()
    assert case.status == "open"


def test_a_closed_case_is_not_closed_again(physiotherapist, signed_in, case):
    case.close("discharged", on=timezone.localdate(), reason="well")

    signed_in(physiotherapist).post(url(case), {"status": "declined", "reason": "other"})

    case.refresh_from_db()
    assert case.status == "discharged"


def test_front_desk_and_other_clinics_close_nothing(front_desk, signed_in, physiotherapist, case):
    assert signed_in(front_desk).get(url(case)).status_code == 403
    assert signed_in(physiotherapist).get(url(create_case())).status_code == 404
