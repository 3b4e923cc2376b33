import datetime
import html
import re

import pytest

from cases.models import Contact
from rehab.clinical.stages import Stage
from rehab.models import ThresholdChange
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient, create_visit
from tests.factories.clinic import create_physiotherapist
from tests.factories.rehab import create_issued

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

LONG_AGO = datetime.date(2025, 1, 10)


@pytest.fixture
def due_in(physiotherapist):
    """Return a function that makes a case of this clinic that is due so many days from today."""

    def create(days, **fields):
        due_on = THURSDAY + datetime.timedelta(days=days)
        usual = {"lead": physiotherapist, "due_on": due_on, "onset": LONG_AGO}
        return create_case(**(usual | fields))

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

    assert (context["due"], context["overdue"]) == (3, 2)


@pytest.mark.parametrize(
    ("days", "told"),
    [(-16, "16 days late"), (-1, "1 day late"), (0, "today"), (1, "in 1 day"), (9, "in 9 days")],
)
def test_how_late_or_how_near_is_told_in_days(due_in, front_desk, signed_in, days, told):
    due_in(days)

    page = signed_in(front_desk).get("/due/").content.decode()

    assert f"</svg> {told}</span>" in page


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

    with django_assert_num_queries(7):
        client.get("/due/")


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_work_through_the_list(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get("/due/").status_code == 200


def test_the_margin_says_the_times_that_the_clinic_has_set(manager, front_desk, signed_in):
    ThresholdChange.make("review_weeks", 8, reason="Agreed in the team.", by=manager)

    page = signed_in(front_desk).get("/due/").content.decode()

    assert "8, 12 or 26 weeks after opening" in page


def test_other_methods_are_refused(front_desk, signed_in):
    assert signed_in(front_desk).post("/due/").status_code == 405


def test_of_two_due_the_same_day_the_lower_stage_stands_first(due_in, listed):
    without, heavy, light = due_in(-3), due_in(-3), due_in(-3)
    for case, stage in ((heavy, Stage.SLOW_RESISTANCE), (light, Stage.ISOMETRIC)):
        create_issued(case=case, at=at(8), version=1, stage=stage)

    assert listed() == [light, heavy, without]


def rows(signed_in, who, **query):
    return signed_in(who).get("/due/", query).context["rows"]


@pytest.mark.parametrize(
    ("weeks_open", "weeks_since_visit", "kind", "asks"),
    [
        (5, 2, "follow-up", None),
        (6, 1, "review", "review"),
        (7, 0, "follow-up", None),  # seen since
        (12, 3, "review", "examine again"),
        (30, 20, "review", "refer"),
    ],
)
def test_a_time_to_look_again_makes_it_a_review(
    due_in, signed_in, front_desk, weeks_open, weeks_since_visit, kind, asks
):
    case = due_in(-3, opened=THURSDAY - datetime.timedelta(weeks=weeks_open))
    create_visit(case=case, on=THURSDAY - datetime.timedelta(weeks=weeks_since_visit))
    (row,) = rows(signed_in, front_desk)

    assert (row.kind, row.asks) == (kind, asks)


@pytest.mark.parametrize(("weeks_open", "kind"), [(5, "follow-up"), (6, "review")])
@pytest.mark.parametrize("listed_on", ["/due/", "/", "/cases/{}/calls/"])
def test_every_way_into_the_book_proposes_the_same_kind(
    due_in, signed_in, front_desk, weeks_open, kind, listed_on
):
    case = due_in(-3, opened=THURSDAY - datetime.timedelta(weeks=weeks_open))
    desk = signed_in(front_desk)
    page = desk.get(listed_on.format(case.pk)).content.decode()
    (way,) = re.findall(rf'href="(/due/{case.pk}/book/.*?|/book/new/\?case={case.pk}.*?)"', page)
    form = desk.get(html.unescape(way), follow=True).context["form"]

    assert (form["kind"].value(), form["case"].value()) == (kind, case.pk)


def test_booking_what_is_due_leads_back_and_never_elsewhere(due_in, signed_in, front_desk):
    way = f"/due/{due_in(-3).pk}/book/"
    back, away = (
        signed_in(front_desk).get(way, {"next": url}).url for url in ("/?a=b", "//example.org/")
    )

    assert back.endswith("&next=%2F%3Fa%3Db")
    assert away.endswith("&next=")


def test_the_front_desk_sees_the_kind_and_neither_stage_nor_reason(
    due_in, signed_in, front_desk, physiotherapist
):
    case = due_in(-3, opened=THURSDAY - datetime.timedelta(weeks=13))
    create_issued(case=case, at=at(8), version=1, stage=Stage.ISOMETRIC)
    desk = signed_in(front_desk).get("/due/").content.decode()
    physio = signed_in(physiotherapist).get("/due/").content.decode()

    assert "review" in desk
    assert "&amp;kind=review&amp;" in desk
    assert [word in desk for word in ("examine again", "Stage")] == [False, False]
    assert [word in physio for word in ("examine again", "Stage")] == [True, True]


def test_an_open_case_without_a_day_stands_on_a_list_of_its_own(
    due_in, listed, signed_in, front_desk, physiotherapist
):
    due_in(-3)
    old, older = (
        create_case(
            lead=physiotherapist, opened=THURSDAY - datetime.timedelta(days=days), onset=LONG_AGO
        )
        for days in (20, 40)
    )
    create_appointment(
        case=(booked := create_case(lead=physiotherapist)),
        patient=booked.patient,
        practitioner=physiotherapist,
        starts_at=at(9),
    )

    assert listed(which="open") == [older, old]
    assert "2 open cases without a day" in " ".join(
        signed_in(front_desk).get("/due/").content.decode().split()
    )


def test_the_last_call_stands_beside_the_name(due_in, signed_in, front_desk):
    case = due_in(-3)
    for outcome in ("reached", "message"):
        Contact.objects.create(case=case, by=front_desk, outcome=outcome)
    (row,) = rows(signed_in, front_desk)

    assert row.contact.outcome == "message"
