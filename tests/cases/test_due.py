import datetime

import pytest

from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]


@pytest.fixture
def due_in(physiotherapist):
    """Return a function that makes a case of this clinic that is due so many days from today."""

    def create(days, **fields):
        due_on = THURSDAY + datetime.timedelta(days=days)
        return create_case(**({"lead": physiotherapist, "due_on": due_on} | fields))

    return create


@pytest.fixture
def listed(front_desk, signed_in):
    """Return a function that opens the list and gives the cases on it."""
    return lambda **query: list(signed_in(front_desk).get("/due/", query).context["page"])


def test_the_most_overdue_stand_first_until_two_weeks_ahead(due_in, listed):
    last, _too_far, first, today = due_in(14), due_in(15), due_in(-30), due_in(0)

    assert listed() == [first, today, last]


def test_the_sentence_counts_who_should_have_been_back(due_in, front_desk, signed_in):
    due_in(0), due_in(-1), due_in(-2)

    context = signed_in(front_desk).get("/due/").context

    assert (context["all"], context["overdue"]) == (3, 2)


@pytest.mark.parametrize(
    ("status", "starts_at", "stays"),
    [
        ("booked", at(9), False),
        ("booked", at(7), False),  # an hour ago and not marked yet: still expected
        ("arrived", at(7), False),
        ("seen", at(7), False),
        ("missed", at(7), True),
        ("cancelled", at(9), True),
        ("booked", at(9, day=datetime.date(2026, 3, 11)), True),
        ("booked", at(9, day=datetime.date(2026, 5, 11)), False),
    ],
)
def test_who_is_expected_or_here_today_is_not_called(due_in, listed, status, starts_at, stays):
    case = due_in(-3)
    create_appointment(
        case=case, patient=case.patient, practitioner=case.lead, starts_at=starts_at, status=status
    )

    assert listed() == ([case] if stays else [])


def test_a_booking_for_the_other_elbow_does_not_count(due_in, listed):
    right = due_in(-3, side="right")
    left = create_case(lead=right.lead, patient=right.patient, side="left")
    create_appointment(case=left, patient=left.patient, practitioner=left.lead, starts_at=at(9))

    assert listed() == [right]


def test_closed_cases_and_other_clinics_are_not_called(due_in, listed):
    due_in(-3, status="discharged", closed=THURSDAY)
    due_in(-3, lead=create_physiotherapist())

    assert listed() == []


def test_the_list_is_searched_by_name(due_in, listed, physiotherapist):
    zahl = create_patient(clinic=physiotherapist.clinic, given_name="Tor", family_name="Zahl")
    found = due_in(-3, patient=zahl)
    due_in(-3)

    assert listed(q="zahl") == [found]


def test_the_list_is_sorted_by_name_when_asked(due_in, listed, physiotherapist):
    names = [
        create_patient(clinic=physiotherapist.clinic, family_name=name) for name in ("Zahl", "Aker")
    ]
    zahl, aker = (due_in(-3 - number, patient=patient) for number, patient in enumerate(names))

    assert listed(sort="name") == [aker, zahl]
    assert listed(sort="-due") == [zahl, aker]


@pytest.mark.parametrize(("query", "title"), [("", "Nobody is due"), ("zahl", "Nobody found")])
def test_an_empty_list_says_what_it_means(due_in, front_desk, signed_in, query, title):
    if query:
        due_in(-3)

    assert title in signed_in(front_desk).get("/due/", {"q": query}).content.decode()


def test_booking_starts_from_the_case_and_leads_back(due_in, front_desk, signed_in):
    case = due_in(-3)

    page = signed_in(front_desk).get("/due/", {"sort": "name"}).content.decode()

    assert f'href="/book/new/?case={case.pk}&amp;next=/due/%3Fsort%3Dname"' in page


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_many_are_due(
    due_in, front_desk, signed_in, rows, django_assert_num_queries
):
    for days in range(rows):
        due_in(-days)
    client = signed_in(front_desk)

    with django_assert_num_queries(6):
        client.get("/due/")


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_work_through_the_list(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get("/due/").status_code == 200


def test_other_methods_are_refused(front_desk, signed_in):
    assert signed_in(front_desk).post("/due/").status_code == 405
