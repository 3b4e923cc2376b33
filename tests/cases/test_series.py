"""Several visits as one action: all of them, or none with the clashing ones named."""

import datetime

import pytest
from django.urls import reverse
from zeal import zeal_ignore

from cases.forms.series import SeriesForm
from cases.models import Appointment
from clinic.models import Absence, AuditEvent, ClosedDay
from tests.cases.conftest import at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_front_desk, create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

# Each visit of a series is booked as a single one is, and takes the practitioner's row for it.
LOCKS = [{"model": "clinic.Staff", "field": "get()"}]
FRIDAY = datetime.date(2026, 3, 13)


@pytest.fixture
def patient(physiotherapist):
    return create_patient(clinic=physiotherapist.clinic)


@pytest.fixture
def book(signed_in, front_desk, physiotherapist, patient):
    """Return a function that asks for four visits, every two weeks from Friday 13 March at 09:00."""

    def post(**changes):
        asked = {
            "practitioner": physiotherapist.pk,
            "kind": "follow-up",
            "case": "",
            "day": FRIDAY.isoformat(),
            "start": "09:00",
            "minutes": "30",
            "every_weeks": "2",
            "times": "4",
        }
        address = reverse("cases:series_new", args=[patient.pk])
        with zeal_ignore(LOCKS):
            return signed_in(front_desk).post(address, asked | changes)

    return post


def day(number):
    return FRIDAY + datetime.timedelta(weeks=2 * number)


def refusals(answer):
    return list(answer.context["form"].non_field_errors())


def test_all_visits_are_booked_at_the_same_time_of_day_through_summer_time(book, patient):
    answer = book()

    booked = Appointment.objects.in_order()
    # The clocks go forward on 29 Mar 2026 in London (tz database): 09:00 stays 09:00.
    assert [one.starts_at for one in booked] == [at(9, day=day(n)) for n in range(4)]
    assert {(one.patient, one.minutes, one.kind) for one in booked} == {(patient, 30, "follow-up")}
    assert AuditEvent.objects.filter(verb="booked").count() == 4
    assert answer.url == "/book/?day=2026-03-13"


def test_one_clash_books_none_and_is_named(book, physiotherapist):
    create_appointment(starts_at=at(9, 15, day=day(2)), practitioner=physiotherapist)
    answer = book()

    assert answer.status_code == 422
    assert refusals(answer) == [
        "Nothing is booked: choose another time, another first day or fewer visits.",
        f"10 Apr 2026: {physiotherapist} is booked at 09:15.",
    ]
    assert Appointment.objects.count() == 1


def test_every_kind_of_clash_is_named_by_its_day(book, physiotherapist, patient):
    clinic = physiotherapist.clinic
    colleague = create_physiotherapist(clinic=clinic)
    create_appointment(starts_at=at(9, day=day(0)), practitioner=colleague, patient=patient)
    ClosedDay.objects.create(clinic=clinic, day=day(1), name="Harbor Day")
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(0, day=day(2)), ends_at=at(23, day=day(2))
    )
    named = refusals(book())[1:]

    assert [sentence.split(":")[0] for sentence in named] == [
        "13 Mar 2026", "27 Mar 2026", "10 Apr 2026",
    ]  # fmt: skip
    assert "The patient is booked at 09:00" in named[0]
    assert "Harbor Day" in named[1]
    assert "is away" in named[2]


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"day": "2026-03-12", "start": "07:00"}, "This time is over."),
        ({"start": "23:45"}, "The clinic is open"),
        (
            {"day": "2026-03-15", "every_weeks": "2", "start": "01:30"},
            "The clocks go forward on 29 Mar 2026",
        ),
    ],
)
def test_a_time_that_can_not_be_is_named(book, changes, named):
    assert any(named in sentence for sentence in refusals(book(**changes)))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"times": "1"}, "times"),
        ({"times": "13"}, "times"),
        ({"times": "x"}, "times"),
        ({"every_weeks": "0"}, "every_weeks"),
        ({"every_weeks": "9"}, "every_weeks"),
        ({"day": ""}, "day"),
    ],
)
def test_numbers_out_of_range_are_refused_at_their_field(book, changes, field):
    assert list(book(**changes).context["form"].errors) == [field]
    assert not Appointment.objects.exists()


def test_of_a_race_that_is_lost_nothing_stays(book, physiotherapist, monkeypatch):
    """Somebody books the third time after the form has looked and before it writes."""
    keep = SeriesForm.keep

    def late(form):
        create_appointment(starts_at=at(9, day=day(2)), practitioner=physiotherapist)
        return keep(form)

    monkeypatch.setattr(SeriesForm, "keep", late)
    answer = book()

    assert refusals(answer)[1] == "10 Apr 2026: somebody else has booked this time just now."
    assert Appointment.objects.count() == 1


def test_it_starts_from_the_case(signed_in, front_desk, physiotherapist):
    case = create_case(lead=physiotherapist, due_on=FRIDAY)
    address = reverse("cases:series_new", args=[case.patient_id])
    form = signed_in(front_desk).get(address, {"case": case.pk}).context["form"]

    assert (form["case"].value(), form["practitioner"].value(), form["times"].value()) == (
        case.pk, physiotherapist.pk, 4,
    )  # fmt: skip


def test_another_clinics_patient_does_not_exist(signed_in, patient):
    address = reverse("cases:series_new", args=[patient.pk])

    assert signed_in(create_front_desk()).get(address).status_code == 404


def test_more_visits_cost_the_check_no_more_queries(
    signed_in, front_desk, physiotherapist, patient, django_assert_max_num_queries
):
    asked = {"every_weeks": "1", "times": "12", "day": FRIDAY, "start": "23:00", "minutes": "30"}
    asked |= {"practitioner": physiotherapist.pk, "kind": "follow-up", "case": ""}
    client = signed_in(front_desk)
    with django_assert_max_num_queries(18):
        client.post(reverse("cases:series_new", args=[patient.pk]), asked)
