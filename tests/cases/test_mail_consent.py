"""Whether a patient agrees to e-mail: no unless asked, dated and signed, taken back any time."""

import datetime

import pytest
from django.db import IntegrityError
from django.utils import timezone

from cases.models import Patient
from clinic.models import AuditEvent
from tests.cases.conftest import THURSDAY, at
from tests.cases.test_patients import NEW, typed
from tests.factories.cases import create_patient

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


@pytest.fixture
def agreed(front_desk):
    return create_patient(
        clinic=front_desk.clinic,
        mail_agreed=True,
        mail_answered_on=datetime.date(2026, 3, 2),
        mail_answered_by=front_desk,
    )


def edit(desk, patient, **changes):
    url = f"/patients/{patient.pk}/edit/"
    stamp = desk.get(url).context["form"].now
    answer = desk.post(url, typed(family_name=patient.family_name, opened_with=stamp, **changes))
    patient.refresh_from_db()
    return answer


def answers():
    events = AuditEvent.objects.filter(verb="recorded").order_by("pk")
    return [(event.actor, event.detail) for event in events]


def test_nobody_is_taken_to_agree(desk):
    desk.post(NEW, typed())

    patient = Patient.objects.get()
    assert (patient.mail_agreed, patient.mail_answered_on, patient.may_be_mailed) == (
        False,
        None,
        False,
    )
    assert answers() == []


def test_who_agrees_when_registering_is_dated_and_signed(desk, front_desk):
    desk.post(NEW, typed(mail_agreed="on"))

    patient = Patient.objects.get()
    assert (patient.mail_agreed, patient.mail_answered_on, patient.mail_answered_by) == (
        True,
        THURSDAY,
        front_desk,
    )
    assert answers() == [(front_desk, {"mail": "agreed"})]


def test_it_is_taken_back_on_any_day_and_both_answers_stay_in_the_trail(desk, agreed, front_desk):
    edit(desk, agreed)

    assert (agreed.mail_agreed, agreed.mail_answered_on) == (False, THURSDAY)
    assert answers() == [(front_desk, {"mail": "taken back"})]


def test_another_change_leaves_the_answer_with_its_date(desk, agreed):
    edit(desk, agreed, mail_agreed="on", phone="+44 1632 960177")

    assert (agreed.mail_agreed, agreed.mail_answered_on) == (True, datetime.date(2026, 3, 2))
    assert answers() == []


@pytest.mark.parametrize("known", [True, False])
def test_without_an_address_nobody_can_agree(desk, agreed, known):
    sent = {"email": "", "mail_agreed": "on"}
    page = edit(desk, agreed, **sent) if known else desk.post(NEW, typed(**sent))

    assert page.context["form"].errors == {
        "email": ["Enter the address that the e-mail goes to, or take the tick away."]
    }
    assert list(Patient.objects.values_list("email", flat=True)) == ["marit@example.org"]


@pytest.mark.parametrize(
    "missing", [{"mail_answered_on": None}, {"mail_answered_by": None}, {"email": ""}]
)
def test_the_database_keeps_no_agreement_that_nobody_can_show(agreed, missing):
    with pytest.raises(IntegrityError, match="patient_agreed_to_mail_by_name"):
        Patient.objects.filter(pk=agreed.pk).update(**missing)


def test_an_address_that_lets_nothing_in_stops_e_mail_until_another_is_typed(desk, agreed):
    agreed.refuse_mail(at=timezone.now())
    stopped = agreed.may_be_mailed
    edit(desk, agreed, mail_agreed="on", phone="+44 1632 960177")
    still = agreed.may_be_mailed
    edit(desk, agreed, mail_agreed="on", phone="+44 1632 960177", email="marit.o@example.org")

    assert (stopped, still, agreed.may_be_mailed) == (False, False, True)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"mail_agreed": False, "mail_answered_on": None}, "Not asked yet, so none is sent."),
        ({}, "Agreed. Recorded on 2 Mar 2026 by "),
        ({"mail_agreed": False}, "Taken back; none is sent. Recorded on 2 Mar 2026 by "),
        (
            {"mail_refused_at": at(7)},
            "The address let nothing in on 12 Mar 2026. Ask for the right one; "
            "until then nothing is sent.",
        ),
    ],
)
def test_the_patient_s_page_says_how_it_stands(desk, agreed, changes, said):
    Patient.objects.filter(pk=agreed.pk).update(**changes)

    page = " ".join(desk.get(f"/patients/{agreed.pk}/").content.decode().split())

    assert said in page
