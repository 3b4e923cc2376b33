"""The book by the week: of one practitioner, and of everybody."""

import datetime
from urllib.parse import unquote

import pytest
from django.urls import reverse

from cases.models import Appointment
from clinic.models import Absence, ClosedDay, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

MONDAY, FRIDAY = datetime.date(2026, 3, 9), datetime.date(2026, 3, 13)
WEEK = "/book/week/"


@pytest.fixture(autouse=True)
def short_week(physiotherapist):
    """Open from Monday to Friday, 09:00 to 11:00."""
    OpeningHours.objects.filter(weekday__gt=4).delete()
    OpeningHours.objects.update(opens=datetime.time(9), closes=datetime.time(11))


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


@pytest.fixture
def colleague(physiotherapist):
    return create_physiotherapist(clinic=physiotherapist.clinic, last_name="Adeyemi")


def week_of(desk, who, **query):
    return desk.get(WEEK, {"who": who.pk, "day": "2026-03-12"} | query).context


def everybody(desk, **query):
    return desk.get(WEEK, {"day": "2026-03-12"} | query).context


def lines(desk, row, day):
    """The lines of one practitioner's day as (from, until, patient or None)."""
    short = everybody(desk)["grid"].rows[row].days[day]
    return [(one.begins, one.ends, one.booking and one.booking.patient) for one in short.lines]


def told(page):
    return [str(message) for message in page.context["messages"]]


def test_the_week_begins_on_its_monday_and_leaves_out_the_days_without_hours(desk, physiotherapist):
    context = week_of(desk, physiotherapist)

    assert context["grid"].days == [MONDAY + n * datetime.timedelta(days=1) for n in range(5)]
    assert (context["before"].isoformat(), context["after"].isoformat()) == (
        "2026-03-02",
        "2026-03-16",
    )


def test_a_day_without_hours_is_shown_while_somebody_is_booked_on_it(desk, physiotherapist):
    saturday = FRIDAY + datetime.timedelta(days=1)
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=saturday))

    assert week_of(desk, physiotherapist)["grid"].days[-1] == saturday
    assert everybody(desk)["grid"].days[-1] == saturday


def test_the_week_of_one_shows_nobody_elses_bookings(desk, physiotherapist, colleague):
    mine = create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))
    create_appointment(practitioner=colleague, starts_at=at(9, day=FRIDAY))

    assert week_of(desk, physiotherapist)["grid"].live == [mine]


def test_each_day_is_a_column_with_its_own_cells(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 30, day=FRIDAY))
    ClosedDay.objects.create(clinic=physiotherapist.clinic, day=THURSDAY, name="Boat day")

    (first, *_rest) = week_of(desk, physiotherapist)["rows"]

    assert [(column.day.day, cell.kind, cell.rows) for column, cell in first.cells] == [
        (9, "over", 8), (10, "over", 8), (11, "over", 8), (12, "closed", 8), (13, "free", 2),
    ]  # fmt: skip


def test_a_free_place_of_the_week_leads_to_the_form_filled_in_and_back(desk, physiotherapist):
    page = desk.get(WEEK, {"who": physiotherapist.pk, "day": "2026-03-12"}).content.decode()

    link = f"/book/new/?practitioner={physiotherapist.pk}&amp;day=2026-03-13&amp;start=09:30"
    _before, _link, after = page.partition(f'href="{link}&amp;next=')
    back = unquote(after.split('"')[0])
    assert back == f"/book/week/?who={physiotherapist.pk}&day=2026-03-09"


def test_the_sentence_of_a_week_names_its_next_free_half_hour(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9), minutes=120)

    expected = (at(9, day=FRIDAY), physiotherapist)
    assert week_of(desk, physiotherapist)["next_free"] == expected
    assert everybody(desk)["next_free"] == expected


def test_everybodys_week_tells_bookings_and_free_times_in_order(desk, physiotherapist):
    booked = create_appointment(
        practitioner=physiotherapist, starts_at=at(9, 30, day=FRIDAY), minutes=45
    )

    assert lines(desk, 0, 4) == [
        ("09:00", "09:30", None),
        ("09:30", "10:15", booked.patient),
        ("10:15", "11:00", None),
    ]


def test_cancelled_bookings_leave_their_time_free_in_everybodys_week(desk, physiotherapist):
    create_appointment(
        practitioner=physiotherapist, starts_at=at(9, 30, day=FRIDAY), status="cancelled"
    )

    assert lines(desk, 0, 4) == [("09:00", "11:00", None)]


def test_what_is_over_is_not_free_in_everybodys_week(
    physiotherapist, morning, signed_in, front_desk
):
    morning(at(9, 40))
    desk = signed_in(front_desk)

    assert [lines(desk, 0, day) for day in (2, 3)] == [[], [("09:45", "11:00", None)]]


def test_less_than_a_quarter_hour_is_no_free_time(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 10, day=FRIDAY), minutes=110)

    assert [begins for begins, _ends, _who in lines(desk, 0, 4)] == ["09:10"]


def test_absences_and_closed_days_are_told_in_everybodys_week(desk, physiotherapist):
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(10), ends_at=at(0, day=FRIDAY), reason="course"
    )
    ClosedDay.objects.create(clinic=physiotherapist.clinic, day=FRIDAY, name="Boat day")

    page = desk.get(WEEK, {"day": "2026-03-12"}).content.decode()

    assert lines(desk, 0, 3) == [("09:00", "10:00", None)]
    assert lines(desk, 0, 4) == []
    assert ("away" in page, "closed: Boat day" in page, "course" in page) == (True, True, False)


def test_the_bars_of_a_day_are_as_long_as_what_they_stand_for(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, 30, day=FRIDAY), minutes=45)

    grid = everybody(desk)["grid"]

    bars = {(bar.kind, bar.x, bar.width) for bar in grid.rows[0].days[4].bars}
    assert grid.width == 120
    assert bars == {("free", 0, 30), ("booked", 30, 45), ("free", 75, 45)}


def test_each_practitioner_has_a_row_with_what_is_booked_and_free(desk, physiotherapist, colleague):
    create_appointment(practitioner=colleague, starts_at=at(9, day=FRIDAY))

    rows = everybody(desk)["grid"].rows

    found = [(row.who, row.booked, row.free / datetime.timedelta(hours=1)) for row in rows]
    assert found == [(colleague, 1, 3.5), (physiotherapist, 0, 4)]


def test_who_has_left_keeps_a_row_while_booked(desk, physiotherapist):
    left = create_physiotherapist(clinic=physiotherapist.clinic, is_active=False)
    create_appointment(practitioner=left, starts_at=at(9, day=FRIDAY))

    assert everybody(desk)["grid"].people == [physiotherapist, left]


def test_each_line_leads_where_it_says(desk, physiotherapist):
    """The links of everybody's week are put together from the book's address."""
    booked = create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))

    page = desk.get(WEEK, {"day": "2026-03-12"}).content.decode()

    assert f'href="{reverse("cases:appointment", args=[booked.pk])}"' in page
    assert f'href="{reverse("cases:appointment_new")}?practitioner={physiotherapist.pk}' in page


@pytest.mark.parametrize("who", ["999", "-1", "nobody", "1e3", "99999999999999999999999"])
def test_a_practitioner_that_is_none_gives_everybody_and_a_sentence(desk, who):
    page = desk.get(WEEK, {"who": who, "day": "2026-03-12"})

    assert page.context["who"] is None
    assert told(page) == ["Nobody here sees patients under that number. This is everybody."]


def test_a_practitioner_of_another_clinic_is_none_here(desk):
    stranger = create_physiotherapist()

    page = desk.get(WEEK, {"who": stranger.pk})

    assert page.context["who"] is None
    assert str(stranger) not in page.content.decode()


@pytest.mark.parametrize("address", ["/book/", WEEK])
@pytest.mark.parametrize("day", ["soon", "2026-02-31", "9999-12-31", "0001-01-01"])
def test_a_day_that_is_none_gives_today_and_a_sentence(desk, address, day):
    page = desk.get(address, {"day": day})

    assert page.context["day"] in (THURSDAY, MONDAY)
    assert told(page) == [f"“{day}” is no day. This is today."]


@pytest.mark.parametrize("address", ["/book/", WEEK])
def test_what_was_typed_in_an_address_is_shown_as_text(desk, address):
    page = desk.get(address, {"day": "<script>"}).content.decode()

    assert "“&lt;script&gt;”" in page


@pytest.mark.parametrize("people", [1, 20])
def test_everybodys_week_costs_the_same_however_many_people_and_bookings(
    desk, physiotherapist, people, django_assert_num_queries
):
    patient = create_patient(clinic=physiotherapist.clinic)
    staff = [create_physiotherapist(clinic=physiotherapist.clinic) for _n in range(people)]
    Appointment.objects.bulk_create(
        Appointment(
            clinic=who.clinic,
            practitioner=who,
            patient=patient,
            starts_at=at(9 + hour, day=MONDAY + n * datetime.timedelta(days=1)),
            ends_at=at(10 + hour, day=MONDAY + n * datetime.timedelta(days=1)),
        )
        for who in staff
        for n in range(5)
        for hour in range(2)
    )
    Absence.objects.create(staff=staff[0], starts_at=at(9), ends_at=at(10))

    with django_assert_num_queries(8):
        desk.get(WEEK, {"day": "2026-03-12"})
    with django_assert_num_queries(7):
        desk.get(WEEK, {"day": "2026-03-12", "who": physiotherapist.pk})


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_may_read_the_week(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(WEEK).status_code == 200


def test_other_methods_are_refused(desk):
    assert desk.post(WEEK).status_code == 405
