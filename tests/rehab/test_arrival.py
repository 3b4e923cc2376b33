"""What front desk is told when a patient arrives."""

import datetime
from types import SimpleNamespace

import pytest

from assessments.models import QuestionnaireResponse
from clinic.models import AuditEvent
from rehab.arrival import at_arrival, diary_from
from rehab.models import DiaryDay
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

ONE_DAY = datetime.timedelta(days=1)


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist)


@pytest.fixture
def booked(case):
    return create_appointment(
        practitioner=case.lead, patient=case.patient, case=case, starts_at=at(9)
    )


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def due(booked):
    return [
        (one.case, one.questionnaire, one.diary_from) for one in at_arrival(booked, today=THURSDAY)
    ]


@pytest.mark.parametrize(("weeks", "again"), [(5, False), (6, True)])
def test_the_questionnaire_is_due_at_first_and_after_six_weeks_again(case, booked, weeks, again):
    assert due(booked) == [(case, True, None)]
    visit = case.visits.create(on=THURSDAY - weeks * 7 * ONE_DAY, practitioner=case.lead)
    QuestionnaireResponse.objects.create(visit=visit, instrument="prtee", items=[2] * 15)
    visit.sign(by=case.lead, at=at(8))

    assert due(booked) == [(case, again, None)]


def test_a_questionnaire_of_today_is_not_asked_for_again(case, booked):
    visit = case.visits.create(on=THURSDAY, practitioner=case.lead)
    QuestionnaireResponse.objects.create(visit=visit, instrument="prtee", items=[2] * 15)

    assert due(booked) == [(case, False, None)]


def test_somebody_without_a_case_is_given_the_questionnaire(physiotherapist):
    first = create_appointment(practitioner=physiotherapist, starts_at=at(9), kind="first")

    assert due(first) == [(None, True, None)]


def test_without_a_case_of_its_own_an_appointment_is_for_each_open_elbow(case, booked):
    other = create_case(lead=case.lead, patient=case.patient, side="left")

    assert [one[0] for one in due(booked)] == [case]
    booked.case = None
    assert [one[0] for one in due(booked)] == [other, case]


@pytest.mark.parametrize(
    ("issued", "written", "expected"),
    [
        (-7, None, -7),
        (-7, -3, -2),
        (-7, -1, None),
        (-1, None, -1),
        (0, None, None),
        (-2, -9, -2),
    ],
)
def test_the_diary_is_due_from_the_first_day_that_is_not_typed_in(
    monkeypatch, case, issued, written, expected
):
    def day(offset):
        return None if offset is None else THURSDAY + offset * ONE_DAY

    monkeypatch.setattr(DiaryDay.objects, "newest_of", lambda of: day(written))
    program = SimpleNamespace(case=case, issued_at=at(9, day=day(issued)))

    assert diary_from(program, today=THURSDAY) == day(expected)


def test_the_newest_day_of_the_diary_counts(case, booked):
    program = create_issued(case=case)
    for days_ago in (3, 5):
        DiaryDay.objects.create(
            case=case, program=program, on=THURSDAY - days_ago * ONE_DAY, sets_done=3
        )

    assert DiaryDay.objects.newest_of(case) == THURSDAY - 3 * ONE_DAY


def test_the_page_says_what_to_hand_out_and_since_when_the_patient_is_here(desk, booked):
    booked.mark("arrived")

    page = desk.get(f"/book/{booked.pk}/arrival/?next=/").content.decode()

    assert "Here since <strong>08:00</strong>" in page
    assert "the questionnaire, to fill in while waiting" in page
    assert f'href="/patients/{booked.patient_id}/papers/"' in page
    assert '<a class="button" accesskey="s" href="/">' in page
    assert AuditEvent.objects.filter(verb="opened", page="rehab:arrival").exists()


def test_it_leads_back_to_the_day_and_never_off_the_site(desk, booked):
    page = desk.get(f"/book/{booked.pk}/arrival/?next=https://example.org/").content.decode()

    assert 'accesskey="s" href="/book/?day=2026-03-12"' in page


def test_nothing_due_is_said_so(case, booked, desk):
    visit = case.visits.create(on=THURSDAY, practitioner=case.lead)
    QuestionnaireResponse.objects.create(visit=visit, instrument="prtee", items=[2] * 15)

    page = desk.get(f"/book/{booked.pk}/arrival/").content.decode()

    assert "Nothing to hand out and nothing to take in." in page


def test_an_appointment_of_another_clinic_is_not_there(desk):
    other = create_appointment(practitioner=create_physiotherapist(), starts_at=at(9))

    assert desk.get(f"/book/{other.pk}/arrival/").status_code == 404
