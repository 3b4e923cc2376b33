"""The figures of the book: counted by hand in a small book, and free time against a count of minutes."""

import csv
import datetime
import io

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from cases.book_figures import free, past
from cases.models import Appointment
from clinic.models import Absence, AuditEvent, ClosedDay, OpeningHours
from clinic.slots import Span, unbooked
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

PAGE, FILE = reverse("cases:book_figures"), reverse("cases:book_figures_csv")
MONDAY = THURSDAY - datetime.timedelta(days=3)
START = datetime.datetime(2026, 3, 12, tzinfo=datetime.UTC)


@pytest.fixture
def colleague(physiotherapist):
    return create_physiotherapist(clinic=physiotherapist.clinic)


@pytest.fixture
def book(physiotherapist, colleague):
    """Two weeks: this one with one seen, one missed and one to come, the one before with three cancelled."""
    patient = create_patient(clinic=physiotherapist.clinic)

    def put(day, hour, status="booked", *, by=physiotherapist, **fields):
        starts = at(hour, day=MONDAY + datetime.timedelta(days=day))
        return create_appointment(
            starts_at=starts, practitioner=by, patient=patient, status=status, **fields
        )

    put(0, 9, "seen")
    put(1, 9, "missed", by=colleague)
    put(3, 17)
    for hour, notice in ((9, 23), (10, 25), (11, -1)):
        cancelled = put(-7, hour, "cancelled")
        cancelled.cancelled_at = cancelled.starts_at - datetime.timedelta(hours=notice)
        cancelled.save()
    put(-6, 9, "seen", by=colleague)
    return put


def counted(kept):
    return (kept.booked, kept.seen, kept.missed, kept.cancelled, kept.late, kept.unmarked)


@pytest.mark.django_db
def test_each_week_is_counted_by_what_became_of_it(book, physiotherapist, colleague):
    found = past(
        physiotherapist.clinic, [physiotherapist, colleague], today=THURSDAY, weeks=2, who=None
    )

    assert {day.isoformat(): counted(kept) for day, kept in found.weeks.items()} == {
        "2026-03-09": (3, 1, 1, 0, 0, 1),
        "2026-03-02": (4, 1, 0, 3, 2, 0),
        "2026-02-23": (0, 0, 0, 0, 0, 0),
    }
    assert {who: counted(kept) for who, kept in found.people.items()} == {
        physiotherapist: (5, 1, 0, 3, 2, 1),
        colleague: (2, 1, 1, 0, 0, 0),
    }
    assert counted(found.total) == (7, 2, 1, 3, 2, 1)
    assert found.total.missed_percent == 33


@pytest.mark.django_db
def test_without_anybody_seen_there_is_no_share(physiotherapist):
    found = past(physiotherapist.clinic, [], today=THURSDAY, weeks=1, who=None)

    assert found.total.missed_percent is None


@pytest.mark.django_db
def test_one_practitioners_alone(book, physiotherapist, colleague):
    found = past(
        physiotherapist.clinic,
        [physiotherapist, colleague],
        today=THURSDAY,
        weeks=1,
        who=colleague,
    )

    assert counted(found.total) == (2, 1, 1, 0, 0, 0)
    assert list(found.people) == [colleague]


@pytest.mark.django_db
def test_a_week_begins_at_the_clinics_own_midnight(book, physiotherapist):
    clinic = physiotherapist.clinic
    clinic.time_zone = "Pacific/Auckland"
    clinic.save()
    # Sunday 20:00 in London is Monday morning in Auckland.
    book(-1, 20, "seen")
    found = past(clinic, [], today=THURSDAY, weeks=1, who=None)

    assert found.weeks[MONDAY].seen == 2


@pytest.mark.django_db
def test_cancelling_keeps_the_moment(physiotherapist, morning):
    booked = create_appointment(starts_at=at(17), practitioner=physiotherapist)
    booked.cancel(reason="ill")
    booked.refresh_from_db()

    assert booked.cancelled_at == at(8)
    assert past(physiotherapist.clinic, [], today=THURSDAY, weeks=1, who=None).total.late == 1


@pytest.mark.django_db
def test_free_hours_are_open_less_booked_and_away(physiotherapist, colleague):
    clinic = physiotherapist.clinic
    OpeningHours.objects.of(clinic).delete()
    for weekday in (3, 4):
        OpeningHours.objects.create(
            clinic=clinic, weekday=weekday, opens=datetime.time(9), closes=datetime.time(12)
        )
    patient = create_patient(clinic=clinic)
    create_appointment(starts_at=at(10), practitioner=physiotherapist, patient=patient)
    create_appointment(
        starts_at=at(11), practitioner=physiotherapist, patient=patient, status="cancelled"
    )
    next_week = THURSDAY + datetime.timedelta(days=7)
    Absence.objects.create(
        staff=colleague, starts_at=at(11, day=next_week), ends_at=at(23, day=next_week)
    )
    found = free(clinic, [physiotherapist, colleague], now=at(9, 30), weeks=2)

    hours = {
        who: [time.total_seconds() / 3600 for time in row] for who, row in found.people.items()
    }
    assert hours == {physiotherapist: [5.0, 6.0], colleague: [5.5, 5.0]}
    assert [time.total_seconds() / 3600 for time in found.by_week] == [10.5, 11.0]


@pytest.mark.django_db
def test_a_closed_day_has_no_free_hours(physiotherapist):
    clinic, days = physiotherapist.clinic, (THURSDAY, THURSDAY + datetime.timedelta(days=8))
    before = free(clinic, [physiotherapist], now=at(9), weeks=2).by_week
    for day in days:
        ClosedDay.objects.create(clinic=clinic, day=day, name="Boat day")

    after = free(clinic, [physiotherapist], now=at(9), weeks=2).by_week

    # Open from 08:00 to 18:00, and one of this Thursday's ten hours is over.
    fewer = [was - now for was, now in zip(before, after, strict=True)]
    assert fewer == [datetime.timedelta(hours=9), datetime.timedelta(hours=10)]


SPANS = st.lists(
    st.tuples(st.integers(0, 600), st.integers(1, 120)).map(
        lambda pair: Span(
            start=START + datetime.timedelta(minutes=pair[0]),
            end=START + datetime.timedelta(minutes=sum(pair)),
        )
    ),
    max_size=8,
)


@given(taken=SPANS, opens=st.integers(0, 400), length=st.integers(1, 400))
def test_what_is_unbooked_is_each_minute_that_nobody_has(taken, opens, length):
    minutes = [START + datetime.timedelta(minutes=opens + n) for n in range(length)]
    one = Span(start=minutes[0], end=minutes[-1] + datetime.timedelta(minutes=1))
    bare = [m for m in minutes if not any(s.start <= m < s.end for s in taken)]

    assert unbooked([one], taken) == datetime.timedelta(minutes=len(bare))


@pytest.mark.django_db
def test_the_page_says_them(signed_in, front_desk, physiotherapist, book, morning):
    create_case(lead=physiotherapist, due_on=THURSDAY)
    page = signed_in(front_desk).get(PAGE, {"weeks": "4"})
    text = " ".join(page.content.decode().split())

    assert "<strong>2</strong> seen and <strong>1</strong> missed: 33 % did not come." in text
    assert "<strong>1</strong> is due and not booked, 1 by today." in text
    assert len(page.context["past"].weeks) == 5


@pytest.mark.django_db
def test_the_file_has_a_line_a_week(signed_in, front_desk, book, morning):
    answer = signed_in(front_desk).get(FILE, {"weeks": "4"})
    rows = list(csv.reader(io.StringIO(b"".join(answer.streaming_content).decode())))

    assert rows[0] == [
        "week from (date)", "booked (count)", "seen (count)", "missed (count)",
        "cancelled (count)", "cancelled late (count)", "not marked (count)",
    ]  # fmt: skip
    assert rows[1:3] == [
        ["2026-03-09", "3", "1", "1", "0", "0", "1"],
        ["2026-03-02", "4", "1", "0", "3", "2", "0"],
    ]
    assert AuditEvent.objects.filter(verb="exported").count() == 1


@pytest.mark.django_db
@pytest.mark.parametrize("query", [{"weeks": "3"}, {"weeks": "x"}, {"who": "999"}])
def test_a_choice_that_is_not_offered_is_refused(signed_in, front_desk, morning, query):
    page = signed_in(front_desk).get(PAGE, query)

    assert page.status_code == 422
    assert len(page.context["past"].weeks) == 9


@pytest.mark.django_db
def test_another_clinics_book_is_not_counted(signed_in, front_desk, morning):
    create_appointment(starts_at=at(9), status="seen")

    assert signed_in(front_desk).get(PAGE).context["past"].total.booked == 0


@pytest.mark.django_db
def test_more_appointments_cost_no_more_queries(
    signed_in, front_desk, book, morning, django_assert_num_queries
):
    client = signed_in(front_desk)
    client.get(PAGE)
    with django_assert_num_queries(10):
        client.get(PAGE)
    for hour in (12, 13, 14):
        book(2, hour, "seen")
    with django_assert_num_queries(10):
        client.get(PAGE)
    assert Appointment.objects.count() == 10
