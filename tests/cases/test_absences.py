"""The pages of who is away."""

import datetime
import re

import pytest

from clinic.models import Absence, AuditEvent, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment
from tests.factories.clinic import create_physiotherapist
from tests.pages import typed as opened

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY, MONDAY = datetime.date(2026, 3, 13), datetime.date(2026, 3, 16)
TUESDAY = datetime.date(2026, 3, 17)
PAGE = "/book/absences/"


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def typed(who, **changes):
    """Away on Friday, but for `changes`."""
    blank = {"last_day": "", "from_time": "", "until_time": "", "reason": ""}
    return {"staff": who.pk, "first_day": "2026-03-13"} | blank | changes


@pytest.fixture
def leave(physiotherapist):
    """Away on Friday and the weekend, whole days."""
    return Absence.objects.create(
        staff=physiotherapist,
        starts_at=at(0, day=FRIDAY),
        ends_at=at(0, day=MONDAY),
        reason="leave",
    )


def span(absence):
    return absence.starts_at, absence.ends_at


def errors(answer):
    assert answer.status_code == 422
    return dict(answer.context["form"].errors)


def rows(desk):
    return desk.get(PAGE).context["rows"]


@pytest.mark.parametrize(
    ("changes", "start", "end"),
    [
        ({}, at(0, day=FRIDAY), at(0, day=datetime.date(2026, 3, 14))),
        ({"last_day": "2026-03-15"}, at(0, day=FRIDAY), at(0, day=MONDAY)),
        ({"from_time": "13:00"}, at(13, day=FRIDAY), at(0, day=datetime.date(2026, 3, 14))),
        ({"until_time": "13:00"}, at(0, day=FRIDAY), at(13, day=FRIDAY)),
        (
            {"from_time": "13:00", "last_day": "2026-03-16", "until_time": "10:30"},
            at(13, day=FRIDAY),
            at(10, 30, day=MONDAY),
        ),
    ],
)
def test_whole_days_or_a_part_of_one_are_noted(desk, physiotherapist, changes, start, end):
    answer = desk.post(PAGE, typed(physiotherapist, **changes))

    assert answer.url == PAGE
    assert span(Absence.objects.get()) == (start, end)


def test_who_noted_it_is_written_down_without_the_reason(desk, physiotherapist, front_desk):
    desk.post(PAGE, typed(physiotherapist, reason="course"))

    event, noted = AuditEvent.objects.get(), Absence.objects.get()
    assert (event.actor, event.verb, event.object_id) == (
        front_desk,
        "noted an absence",
        noted.pk,
    )
    assert (noted.reason, event.detail) == ("course", {"staff": physiotherapist.pk})


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"staff": ""}, "staff", "Choose who is away."),
        ({"first_day": ""}, "first_day", "Enter the first day."),
        (
            {"first_day": "soon"},
            "first_day",
            "Enter the day as year-month-day, for example 2026-03-12.",
        ),
        ({"last_day": "2026-03-12"}, "last_day", "An absence can't end before it starts."),
        (
            {"from_time": "13:00", "until_time": "13:00"},
            "until_time",
            "An absence can't end before it starts.",
        ),
        (
            {"from_time": "noon"},
            "from_time",
            "Enter the time as hours and minutes, for example 09:30.",
        ),
        ({"first_day": "2026-03-11"}, "first_day", "This time is over. Check the dates."),
        (
            {"last_day": "2027-03-15"},
            "last_day",
            "This is longer than a year. Check the dates.",
        ),
        (
            {"first_day": "2062-03-13"},
            "first_day",
            "This is more than three years off. Check the year.",
        ),
        (
            {"first_day": "2026-03-29", "from_time": "01:30"},
            "from_time",
            "The clocks go forward on 29 Mar 2026 and 01:30 is skipped. Choose another.",
        ),
    ],
)
def test_what_can_not_be_is_answered_at_its_field(desk, physiotherapist, changes, field, sentence):
    answer = desk.post(PAGE, typed(physiotherapist, **changes))

    assert errors(answer) == {field: [sentence]}
    assert not Absence.objects.exists()


def test_nobody_of_another_clinic_is_away_here(desk):
    answer = desk.post(PAGE, typed(create_physiotherapist()))

    assert errors(answer) == {"staff": ["Choose a practitioner of this clinic."]}


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (at(0, day=FRIDAY), at(0, day=datetime.date(2026, 3, 14)), "on 13 Mar 2026"),
        (at(0, day=FRIDAY), at(0, day=MONDAY), "from 13 Mar 2026 to 15 Mar 2026"),
        (at(9, day=FRIDAY), at(12, day=FRIDAY), "on 13 Mar 2026 from 09:00 to 12:00"),
        (at(0, day=FRIDAY), at(12, day=FRIDAY), "on 13 Mar 2026 until 12:00"),
        (
            at(14, day=FRIDAY),
            at(0, day=datetime.date(2026, 3, 14)),
            "on 13 Mar 2026 from 14:00 on",
        ),
        (at(14, day=FRIDAY), at(9, day=MONDAY), "from 13 Mar 2026 14:00 to 16 Mar 2026 09:00"),
    ],
)
def test_the_list_says_when_in_words(desk, physiotherapist, start, end, words):
    held = Absence.objects.create(staff=physiotherapist, starts_at=start, ends_at=end)

    assert rows(desk) == [(held, words, 0)]


def test_what_is_over_is_not_listed_and_others_are_not_seen(desk, physiotherapist):
    for who, day in ((physiotherapist, datetime.date(2026, 3, 11)), (None, FRIDAY)):
        Absence.objects.create(
            staff=who or create_physiotherapist(),
            starts_at=at(0, day=day),
            ends_at=at(12, day=day),
        )

    assert rows(desk) == []
    assert "Nobody is away." in desk.get(PAGE).content.decode()


def test_whoever_is_booked_in_it_is_shown_next(desk, physiotherapist):
    create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))

    answer = desk.post(PAGE, typed(physiotherapist))

    assert answer.url == "/book/to-move/"
    assert "1 booking no longer fits" in desk.get(answer.url).content.decode()
    [(_absence, _words, waiting)] = rows(desk)
    assert waiting == 1


def test_coming_back_early_shortens_it(desk, leave):
    page = desk.get(f"{PAGE}{leave.pk}/")

    desk.post(f"{PAGE}{leave.pk}/", opened(page, last_day="2026-03-13", until_time="12:00"))

    leave.refresh_from_db()
    assert span(leave) == (at(0, day=FRIDAY), at(12, day=FRIDAY))
    assert AuditEvent.objects.get().verb == "changed an absence"


def test_a_change_that_comes_too_late_overwrites_nothing(desk, leave):
    page = opened(desk.get(f"{PAGE}{leave.pk}/"), last_day="2026-03-13")
    Absence.objects.filter(pk=leave.pk).update(ends_at=at(0, day=TUESDAY))

    answer = desk.post(f"{PAGE}{leave.pk}/", page)

    conflicts = [(row.theirs, row.mine) for row in answer.context["form"].conflicts]
    leave.refresh_from_db()
    assert conflicts == [(MONDAY, FRIDAY)]
    assert leave.ends_at == at(0, day=TUESDAY)


def test_it_is_removed_and_the_time_can_be_booked_again(desk, leave):
    answer = desk.post(f"{PAGE}{leave.pk}/remove/")

    assert not Absence.objects.exists()
    assert AuditEvent.objects.get().verb == "removed an absence"
    assert "can be booked again from 13 Mar 2026 to 15 Mar 2026." in (
        desk.get(answer.url).content.decode()
    )


def test_the_book_says_until_when(desk, leave):
    for day, words in ((FRIDAY, "away to 15 Mar 2026"), (datetime.date(2026, 3, 15), "away")):
        page = desk.get("/book/", {"day": day.isoformat()}).content.decode()

        assert re.search(rf'class="closed" rowspan="40" id="[^"]+">\s*{words}\s*</td>', page)


def test_absences_of_another_clinic_do_not_exist(desk):
    theirs = Absence.objects.create(
        staff=create_physiotherapist(), starts_at=at(9, day=FRIDAY), ends_at=at(12, day=FRIDAY)
    )

    assert desk.get(f"{PAGE}{theirs.pk}/").status_code == 404
    assert desk.post(f"{PAGE}{theirs.pk}/remove/").status_code == 404
    assert Absence.objects.exists()


@pytest.mark.parametrize("number", [1, 3])
def test_the_list_costs_the_same_however_long_it_is(
    desk, physiotherapist, number, django_assert_num_queries
):
    for row in range(number):
        day = FRIDAY + datetime.timedelta(days=row)
        Absence.objects.create(
            staff=create_physiotherapist(clinic=physiotherapist.clinic),
            starts_at=at(9, day=day),
            ends_at=at(12, day=day),
        )

    with django_assert_num_queries(7):
        assert len(rows(desk)) == number


@pytest.mark.parametrize(("role", "way"), [("front_desk", False), ("manager", True)])
def test_where_nobody_sees_patients_the_page_says_what_to_do(request, signed_in, role, way):
    who = request.getfixturevalue(role)
    who.clinic.staff.exclude(pk=who.pk).update(is_active=False)
    page = " ".join(signed_in(who).get(PAGE).content.decode().split())

    assert "<h2>Nobody sees patients yet</h2>" in page
    assert ('<a class="button" href="/staff/">Staff</a>' in page) == way
    assert 'name="first_day"' not in page


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_who_books_may_look(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == 200


def test_an_opening_at_night_knows_midnight(desk, physiotherapist):
    """An absence that ends at midnight leaves the first quarter of the next day free."""
    OpeningHours.objects.update(opens=datetime.time(0), closes=datetime.time(1))
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(0, day=THURSDAY), ends_at=at(0, day=FRIDAY)
    )

    grid = desk.get("/book/", {"day": "2026-03-13"}).context["rows"]

    assert [cell.kind for row in grid for _who, cell in row.cells] == ["free", "free"]
