import datetime

import pytest
from django.urls import reverse

from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import (
    create_appointment,
    create_case,
    create_notice,
    create_patient_by_mail,
    create_signed_visit,
    create_visit,
)
from tests.factories.clinic import create_manager, create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def colleague(physiotherapist):
    return create_physiotherapist(clinic=physiotherapist.clinic, last_name="Adeyemi")


def days_of(client):
    return client.get("/").context["day"]


def test_a_physiotherapist_sees_their_own_patients_of_today_in_order(
    physiotherapist, colleague, signed_in
):
    later = create_appointment(practitioner=physiotherapist, starts_at=at(10))
    first = create_appointment(practitioner=physiotherapist, starts_at=at(9))
    create_appointment(practitioner=physiotherapist, starts_at=at(11), status="cancelled")
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))
    create_appointment(practitioner=colleague, starts_at=at(9))

    day = days_of(signed_in(physiotherapist))

    assert (day.mine, day.desk, day.first) == ([first, later], [], first)


def test_the_day_ends_at_midnight_of_the_clinics_own_clock(physiotherapist, signed_in, morning):
    summer = datetime.date(2026, 6, 11)
    morning(at(8, day=summer))
    late = create_appointment(practitioner=physiotherapist, starts_at=at(23, 15, day=summer))
    create_appointment(
        practitioner=physiotherapist, starts_at=at(0, 15, day=FRIDAY.replace(month=6, day=12))
    )

    assert days_of(signed_in(physiotherapist)).mine == [late]


@pytest.mark.parametrize(
    ("hours", "sentence"),
    [
        ([], "Nobody is booked with you today."),
        ([9], "<strong>1 patient</strong> today, at <strong>09:00</strong>."),
        ([11, 9, 10], "<strong>3 patients</strong> today; the first at <strong>09:00</strong>."),
    ],
)
def test_the_day_begins_with_a_sentence(physiotherapist, signed_in, hours, sentence):
    for hour in hours:
        create_appointment(practitioner=physiotherapist, starts_at=at(hour))

    assert sentence in signed_in(physiotherapist).get("/").content.decode()


def test_a_physiotherapist_sees_the_drafts_that_they_have_to_sign(
    physiotherapist, colleague, signed_in
):
    mine = create_visit(case=create_case(lead=physiotherapist))
    create_visit(case=create_case(lead=colleague))
    create_signed_visit(case=create_case(lead=physiotherapist))

    page = signed_in(physiotherapist).get("/")

    assert page.context["day"].drafts == [mine]
    assert f'href="{reverse("rehab:visit", args=[mine.pk])}"' in page.content.decode()


def test_a_physiotherapist_sees_own_cases_due_within_a_week(physiotherapist, colleague, signed_in):
    week = THURSDAY + datetime.timedelta(days=7)
    due = create_case(lead=physiotherapist, due_on=week)
    create_case(lead=physiotherapist, due_on=week + datetime.timedelta(days=1))
    create_case(lead=colleague, due_on=THURSDAY)

    assert days_of(signed_in(physiotherapist)).waiting == [due]


def test_front_desk_sees_everybodys_day_by_practitioner(
    front_desk, physiotherapist, colleague, signed_in
):
    theirs = create_appointment(practitioner=physiotherapist, starts_at=at(9))
    first = create_appointment(practitioner=colleague, starts_at=at(10))
    create_appointment(starts_at=at(9))
    due = create_case(lead=colleague, due_on=THURSDAY)

    day = days_of(signed_in(front_desk))

    assert day.desk == [(colleague, [first]), (physiotherapist, [theirs])]
    assert (day.waiting, day.drafts) == ([due], [])


def test_front_desk_is_given_no_way_into_a_case(front_desk, physiotherapist, signed_in):
    case = create_case(lead=physiotherapist, due_on=THURSDAY)
    create_appointment(
        practitioner=physiotherapist, starts_at=at(9), case=case, patient=case.patient
    )

    page = signed_in(front_desk).get("/").content.decode()

    assert reverse("rehab:case", args=[case.pk]) not in page


def test_a_name_leads_to_the_case_and_to_the_patient_while_there_is_none(
    physiotherapist, signed_in
):
    case = create_case(lead=physiotherapist)
    treated = create_appointment(
        practitioner=physiotherapist, starts_at=at(9), patient=case.patient, case=case
    )
    new = create_appointment(practitioner=physiotherapist, starts_at=at(10))

    page = signed_in(physiotherapist).get("/").content.decode()

    assert f'<a href="/cases/{case.pk}/">{treated.patient}</a></th>' in page
    assert f'<a href="/patients/{new.patient_id}/">{new.patient}</a></th>' in page


def test_a_visit_that_is_begun_is_gone_on_with(physiotherapist, signed_in):
    case = create_case(lead=physiotherapist)
    create_appointment(
        practitioner=physiotherapist,
        starts_at=at(9),
        patient=case.patient,
        case=case,
        status="arrived",
    )
    client = signed_in(physiotherapist)
    before = client.get("/").content.decode()
    create_visit(case=case, practitioner=physiotherapist)

    assert "Begin the visit<" in before
    assert "Go on with the visit<" in client.get("/").content.decode()


def test_a_manager_who_treats_keeps_the_desk_and_has_patients(physiotherapist, signed_in):
    manager = create_manager(clinic=physiotherapist.clinic, treats=True, last_name="Adeyemi")
    own = create_appointment(practitioner=manager, starts_at=at(9))
    other = create_appointment(practitioner=physiotherapist, starts_at=at(10))

    day = days_of(signed_in(manager))

    assert day.mine == [own]
    assert [booked for _who, booked in day.desk] == [[own], [other]]


def test_the_rest_of_the_waiting_is_a_press_away(physiotherapist, signed_in):
    for _ in range(10):
        create_case(lead=physiotherapist, due_on=THURSDAY)

    day = days_of(signed_in(physiotherapist))

    assert (len(day.waiting), day.more_waiting) == (8, 2)


@pytest.mark.parametrize(("role", "told"), [("front_desk", 1), ("physiotherapist", 0)])
def test_the_desk_is_told_who_was_not_reached_by_e_mail(
    request, physiotherapist, signed_in, role, told
):
    patient = create_patient_by_mail(by=physiotherapist)
    create_notice(patient=patient, starts_at=at(9, day=FRIDAY), status="failed", why="address")

    page = signed_in(request.getfixturevalue(role)).get("/").content.decode()

    assert page.count("1 e-mail did not reach its patient") == told


@pytest.mark.parametrize(("role", "queries"), [("physiotherapist", 7), ("front_desk", 6)])
@pytest.mark.parametrize("rows", [1, 3])
def test_the_day_costs_the_same_however_full_it_is(
    request, physiotherapist, signed_in, rows, role, queries, django_assert_num_queries
):
    for row in range(rows):
        create_case(lead=physiotherapist, due_on=THURSDAY)
        visited = create_case(lead=physiotherapist)
        create_visit(case=visited)
        create_appointment(
            practitioner=physiotherapist,
            starts_at=at(9 + row),
            case=visited,
            patient=visited.patient,
        )
    client = signed_in(request.getfixturevalue(role))

    with django_assert_num_queries(queries):
        client.get("/")


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get("/").url == "/sign-in/?next=/"


def test_other_methods_are_refused(front_desk, signed_in):
    assert signed_in(front_desk).post("/").status_code == 405
