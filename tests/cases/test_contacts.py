"""The calls to who is due: what the front desk writes, and what becomes of the list."""

import datetime

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from cases.due import due_cases
from cases.models import Contact
from clinic.models import AuditEvent
from tests.cases.conftest import THURSDAY
from tests.factories.cases import create_case
from tests.factories.clinic import create_front_desk

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist, due_on=THURSDAY - datetime.timedelta(days=3))


@pytest.fixture
def address(case):
    return reverse("cases:contacts", args=[case.pk])


@pytest.fixture
def calls(signed_in, front_desk, address):
    """Return a function that writes a call down."""
    return lambda **typed: signed_in(front_desk).post(address, typed)


def waiting(case):
    return list(due_cases(case.clinic, today=THURSDAY))


def test_a_call_stands_on_the_page_with_who_and_what(calls, case, address, front_desk):
    answer = calls(outcome="message", note="after six", again_on="2026-03-13")
    page = " ".join(answer.client.get(address).content.decode().split())

    assert answer.url == address
    assert "message left" in page
    assert "after six" in page
    assert "13 Mar 2026" in page
    assert Contact.objects.get().by == front_desk


def test_it_leads_back_to_the_list(calls):
    assert calls(outcome="reached", next="/due/?sort=name").url == "/due/?sort=name"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Choose what came of the call."),
        ({"outcome": "shouted"}, "Choose what came of the call."),
        ({"outcome": "declined"}, "Write why the patient wants no more visits."),
        ({"outcome": "message", "again_on": "2026-03-11"}, "Choose today or a day to come."),
        ({"outcome": "message", "again_on": "tomorrow"}, "Enter the day as year-month-day"),
        ({"outcome": "message", "note": "x" * 201}, "at most 200 characters"),
    ],
)
def test_what_does_not_fit_is_refused_with_a_sentence(calls, typed, sentence):
    answer = calls(**typed)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Contact.objects.exists()


@pytest.mark.parametrize(
    ("outcomes", "stays"),
    [
        (["reached"], True),
        (["message", "no answer", "calls back"], True),
        (["declined"], False),
        (["declined", "reached"], True),
        (["reached", "declined"], False),
    ],
)
def test_who_wants_no_more_visits_leaves_the_list_until_they_do(calls, case, outcomes, stays):
    for outcome in outcomes:
        calls(outcome=outcome, note="moved away")

    assert (waiting(case) == [case]) is stays


def test_the_practitioner_sees_whose_case_to_close(calls, case, signed_in, physiotherapist):
    calls(outcome="declined", note="moved away")
    page = " ".join(signed_in(physiotherapist).get("/").content.decode().split())

    assert "Want no more visits" in page
    assert reverse("cases:case_close", args=[case.pk]) in page


def test_a_call_is_never_changed_and_needs_its_reason_past_the_form(calls, case, front_desk):
    calls(outcome="reached")
    contact = Contact.objects.get()
    contact.note = "never"
    with pytest.raises(IntegrityError, match="contact_stays"), transaction.atomic():
        contact.save()
    with pytest.raises(IntegrityError, match="contact_stays"), transaction.atomic():
        contact.delete()
    with pytest.raises(IntegrityError, match="contact_declined_has_reason"), transaction.atomic():
        Contact.objects.create(case=case, by=front_desk, outcome="declined")


def test_the_call_is_in_the_trail_without_the_remark(calls, case):
    calls(outcome="reached", note="after six")
    event = AuditEvent.objects.get()

    assert (event.verb, event.object_id, event.detail) == (
        "called",
        case.pk,
        {"outcome": "reached"},
    )


def test_another_clinics_case_does_not_exist(signed_in, address):
    assert signed_in(create_front_desk()).get(address).status_code == 404


def test_a_closed_case_shows_its_calls_and_takes_no_more(signed_in, front_desk, case, address):
    case.close("discharged", on=THURSDAY, reason="well")
    page = signed_in(front_desk).get(address).content.decode()

    assert "The case is closed." in page
    assert '<form method="post" novalidate' not in page
    assert signed_in(front_desk).post(address, {"outcome": "reached"}).status_code == 422
