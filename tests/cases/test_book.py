import datetime

import pytest

from clinic.models import Absence, ClosedDay, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)
BOOK = "/book/"


@pytest.fixture(autouse=True)
def short_day(physiotherapist):
    """Open from 09:00 to 11:00 only, so that a column can be read at a glance."""
    OpeningHours.objects.update(opens=datetime.time(9), closes=datetime.time(11))


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def column(desk, number=0, **query):
    """The cells of one practitioner as (time, kind, quarters)."""
    cells = {}
    for row in desk.get(BOOK, {"day": "2026-03-13"} | query).context["rows"]:
        for column, cell in row.cells:
            cells.setdefault(column.key, []).append((f"{row.at:%H:%M}", cell.kind, cell.rows))
    return list(cells.values())[number]


def test_a_free_day_is_cut_into_half_hours(desk):
    assert column(desk) == [
        ("09:00", "free", 2), ("09:30", "free", 2), ("10:00", "free", 2), ("10:30", "free", 2),
    ]  # fmt: skip


def test_a_booking_is_drawn_as_long_as_it_is(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 15, day=FRIDAY), minutes=45)

    assert column(desk) == [
        ("09:00", "free", 1), ("09:15", "booked", 3), ("10:00", "free", 2), ("10:30", "free", 2),
    ]  # fmt: skip


def test_bookings_that_share_a_quarter_hour_share_a_cell(desk, physiotherapist):
    for minute in (0, 10):
        start = at(9, minute, day=FRIDAY)
        create_appointment(practitioner=physiotherapist, starts_at=start, minutes=10)

    rows = desk.get(BOOK, {"day": "2026-03-13"}).context["rows"]

    cell = rows[0].cells[0][1]
    assert (cell.kind, cell.rows, len(cell.bookings)) == ("booked", 2, 2)


def test_a_booking_outside_the_hours_widens_the_day(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(8, 30, day=FRIDAY), minutes=30)

    assert column(desk)[:3] == [
        ("08:00", "closed", 2),
        ("08:30", "booked", 2),
        ("09:00", "free", 2),
    ]


def test_an_absence_offers_nothing(desk, physiotherapist):
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(7, day=FRIDAY), ends_at=at(10, day=FRIDAY)
    )

    assert column(desk)[0] == ("09:00", "away", 4)
    assert "away until 10:00" in desk.get(BOOK, {"day": "2026-03-13"}).content.decode()


def test_what_is_over_offers_nothing(morning, signed_in, front_desk):
    morning(at(9, 40))

    assert column(signed_in(front_desk), day="2026-03-12") == [
        ("09:00", "over", 3), ("09:45", "free", 2), ("10:15", "free", 2), ("10:45", "free", 1),
    ]  # fmt: skip


def test_a_free_half_hour_leads_to_the_form(desk, physiotherapist):
    page = desk.get(BOOK, {"day": "2026-03-13"}).content.decode()

    link = f"/book/new/?practitioner={physiotherapist.pk}&amp;day=2026-03-13&amp;start=09:30"
    assert f'href="{link}"' in page


def test_each_practitioner_has_a_column_and_who_has_left_keeps_theirs_while_booked(
    desk, physiotherapist
):
    left = create_physiotherapist(clinic=physiotherapist.clinic, is_active=False)
    create_physiotherapist(clinic=physiotherapist.clinic, is_active=False)
    create_appointment(practitioner=left, starts_at=at(9, day=FRIDAY))

    people = desk.get(BOOK, {"day": "2026-03-13"}).context["grid"].people

    assert people == [physiotherapist, left]


def test_cancelled_appointments_stand_below_and_those_of_others_nowhere(desk, physiotherapist):
    cancelled = create_appointment(
        practitioner=physiotherapist, starts_at=at(9, day=FRIDAY), status="cancelled"
    )
    create_appointment(starts_at=at(9, day=FRIDAY))

    grid = desk.get(BOOK, {"day": "2026-03-13"}).context["grid"]

    assert (grid.live, grid.cancelled) == ([], [cancelled])


def test_the_sentence_names_the_next_free_half_hour(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))

    page = desk.get(BOOK, {"day": "2026-03-13"})

    assert page.context["next_free"] == (at(9, 30, day=FRIDAY), physiotherapist)


def test_a_day_without_hours_and_bookings_says_closed(desk):
    OpeningHours.objects.filter(weekday=4).delete()

    page = desk.get(BOOK, {"day": "2026-03-13"}).content.decode()

    assert "The clinic is closed on Friday." in page


@pytest.mark.parametrize("page", [BOOK, "/book/week/"])
def test_a_book_without_any_hours_says_so_and_leads_there_who_may(
    desk, signed_in, manager, physiotherapist, page
):
    OpeningHours.objects.all().delete()

    told = desk.get(page).content.decode()
    to_the_manager = signed_in(manager).get(page).content.decode()

    assert "No opening hours yet" in told
    assert "Ask your manager" in told
    assert "The clinic is closed" not in told
    assert "/clinic/hours/" not in told
    assert '<a class="button" href="/clinic/hours/">' in to_the_manager
    assert "Book somebody" not in told + to_the_manager


@pytest.fixture
def boat_day(physiotherapist):
    """Friday is closed for an outing of the clinic's own."""
    return ClosedDay.objects.create(clinic=physiotherapist.clinic, day=FRIDAY, name="Boat day")


def test_a_closed_day_says_why_and_offers_nothing(desk, boat_day):
    answer = desk.get(BOOK, {"day": "2026-03-13"})

    page = answer.content.decode()
    assert answer.context["rows"] == []
    assert answer.context["next_free"] is None
    assert "The clinic is closed: <strong>Boat day</strong>." in page
    assert "/book/new/" not in page


def test_what_is_booked_on_a_closed_day_still_stands_in_it(desk, physiotherapist, boat_day):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 30, day=FRIDAY))

    page = desk.get(BOOK, {"day": "2026-03-13"}).content.decode()

    assert column(desk) == [("09:00", "closed", 2), ("09:30", "booked", 2)]
    assert page.count("closed: Boat day") == 1
    assert "<strong>1 appointment</strong> still stands on this day." in page
    assert 'href="/book/to-move/"' in page


def test_the_days_beside_a_closed_one_and_other_clinics_stay_open(desk, boat_day):
    ClosedDay.objects.create(clinic=create_physiotherapist().clinic, day=THURSDAY, name="Fair")

    assert desk.get(BOOK, {"day": "2026-03-12"}).context["next_free"][0] == at(9)


def test_days_are_turned_back_and_forth(desk):
    context = desk.get(BOOK, {"day": "2026-03-01"}).context

    assert (context["before"].isoformat(), context["after"].isoformat()) == (
        "2026-02-28",
        "2026-03-02",
    )


@pytest.mark.parametrize(
    "day", ["", "soon", "2026-02-31", "2026-13-01", "0001-01-01", "9999-12-31"]
)
def test_a_day_that_is_none_means_today(desk, day):
    assert desk.get(BOOK, {"day": day}).context["day"] == THURSDAY


def test_the_days_of_the_changing_clocks_can_be_read(desk):
    OpeningHours.objects.filter(weekday=6).update(opens=datetime.time(0), closes=datetime.time(3))

    assert column(desk, day="2026-03-29") == [
        ("00:00", "free", 2), ("00:30", "free", 2), ("01:00", "closed", 4), ("02:00", "free", 2),
        ("02:30", "free", 2),
    ]  # fmt: skip


@pytest.mark.parametrize("rows", [1, 3])
def test_the_book_costs_the_same_however_full_it_is(
    desk, physiotherapist, rows, django_assert_num_queries
):
    for row in range(rows):
        who = create_physiotherapist(clinic=physiotherapist.clinic)
        create_appointment(practitioner=who, starts_at=at(9, day=FRIDAY))
        Absence.objects.create(
            staff=who, starts_at=at(10, day=FRIDAY), ends_at=at(10, 30 + row, day=FRIDAY)
        )

    with django_assert_num_queries(8):
        desk.get(BOOK, {"day": "2026-03-13"})


@pytest.mark.parametrize(
    ("day", "marked"),
    [(12, ["booked", "arrived", "seen", "missed"]), (11, ["booked", "arrived"]), (13, [])],
)
def test_todays_bookings_can_be_marked_and_those_that_nobody_has_marked_yet(
    desk, physiotherapist, day, marked
):
    booked = {
        status: create_appointment(
            practitioner=physiotherapist,
            starts_at=at(9 + hour, day=datetime.date(2026, 3, day)),
            status=status,
        )
        for hour, status in enumerate(("booked", "arrived", "seen", "missed"))
    }

    page = desk.get(BOOK, {"day": f"2026-03-{day}"}).content.decode()

    offered = [name for name, one in booked.items() if f'formaction="/book/{one.pk}/mark/"' in page]
    assert offered == marked


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_read_the_book(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(BOOK).status_code == 200


def test_other_methods_are_refused(desk):
    assert desk.post(BOOK).status_code == 405
