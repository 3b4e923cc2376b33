"""The free times beside the form of an appointment: which are offered, and that one press books one."""

import datetime
from urllib.parse import urlencode

import pytest

from cases.models import Appointment
from clinic.models import Absence, AuditEvent, ClosedDay, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

# Today is Thursday, 12 March 2026; the patient is wanted back on Thursday a week later.
DUE = datetime.date(2026, 3, 19)
DAY = datetime.timedelta(days=1)


@pytest.fixture(autouse=True)
def short_days(physiotherapist):
    """Open from 09:00 to 11:00 only, so that the offers can be read at a glance."""
    OpeningHours.objects.update(opens=datetime.time(9), closes=datetime.time(11))


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist, due_on=DUE)


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


def page_of(case):
    return f"/book/new/?{urlencode({'case': case.pk, 'next': '/due/'})}"


def sent(case, **changes):
    """What the form of the case's page sends, but for `changes`."""
    return {
        "practitioner": case.lead_id,
        "kind": "follow-up",
        "case": case.pk,
        "day": DUE.isoformat(),
        "start": "",
        "minutes": "",
        "days_before": "3",
        "days_after": "7",
        "next": "/due/",
    } | changes


def offers(answer):
    """The offers as "day hour:minute", and with whom where anybody may be."""
    times = answer.context["times"]
    return [
        f"{offer.fit.start:%d %H:%M}" + ("" if times.who else f" {offer.fit.who}")
        for day in times.days
        for offer in day.offers
    ]


def keys(answer):
    return [offer.key for day in answer.context["times"].days for offer in day.offers]


def fill(who, day):
    """Book all of a day's two hours."""
    start = datetime.datetime.combine(day, datetime.time(9), at(9).tzinfo)
    return create_appointment(practitioner=who, starts_at=start, minutes=120)


def test_from_the_list_of_the_due_the_nearest_days_are_offered_first(desk, case):
    answer = desk.get(page_of(case))

    assert offers(answer) == [
        "19 09:00", "18 09:00", "20 09:00", "17 09:00", "21 09:00", "16 09:00", "22 09:00",
        "23 09:00", "24 09:00",
    ]  # fmt: skip
    near = [day.near for day in answer.context["times"].days]
    assert near[:3] == ["the day wanted", "1 day before", "1 day after"]


def test_one_press_books_and_leads_back_to_the_list(desk, case, front_desk):
    taken = keys(desk.get(page_of(case)))[1]

    answer = desk.post(page_of(case), sent(case, take=taken))

    booked = Appointment.objects.get()
    assert (booked.case, booked.practitioner, booked.minutes) == (case, case.lead, 30)
    assert booked.starts_at == at(9, day=DUE - DAY)
    assert (answer.status_code, answer.url) == (302, "/due/")
    assert AuditEvent.objects.get(verb="booked").actor == front_desk


def test_one_press_takes_what_is_chosen_beside_it(desk, case):
    taken = keys(desk.get(page_of(case)))[0]

    desk.post(page_of(case), sent(case, take=taken, kind="review", minutes="45", start="10:00"))

    booked = Appointment.objects.get()
    assert (booked.kind, booked.minutes, booked.starts_at) == ("review", 45, at(9, day=DUE))


def test_a_free_time_that_somebody_has_taken_meanwhile_is_refused_and_others_are_offered(
    desk, case
):
    taken = keys(desk.get(page_of(case)))[0]
    create_appointment(practitioner=case.lead, starts_at=at(9, day=DUE))

    answer = desk.post(page_of(case), sent(case, take=taken))

    assert list(answer.context["form"].errors) == ["start"]
    assert offers(answer) == ["19 09:30", "19 10:00", "19 10:30"]
    assert Appointment.objects.count() == 1


@pytest.mark.parametrize("taken", ["", "1|2", "1|2026-03-19|09:00|more"])
def test_a_button_that_is_none_of_ours_is_refused(desk, case, taken):
    assert desk.post(page_of(case), sent(case, take=taken)).status_code == 400


@pytest.mark.parametrize("taken", ["0|2026-03-19|09:00", "x|soon|noon", "²|9999-12-31|09:00"])
def test_a_button_that_names_no_time_and_nobody_books_nothing(desk, case, taken):
    answer = desk.post(page_of(case), sent(case, take=taken))

    assert "practitioner" in answer.context["form"].errors
    assert not Appointment.objects.exists()


def test_with_anybody_the_one_who_leads_the_case_comes_first(desk, case):
    colleague = create_physiotherapist(clinic=case.clinic, last_name="Aaberg")
    create_appointment(practitioner=case.lead, starts_at=at(9, day=DUE - DAY))

    answer = desk.post(page_of(case), sent(case, practitioner="", look="1"))

    assert offers(answer)[:3] == [
        f"19 09:00 {case.lead}", f"18 09:00 {colleague}", f"20 09:00 {case.lead}",
    ]  # fmt: skip
    assert answer.context["form"]["practitioner"].value() is None


def test_what_suits_the_patient_comes_first_and_the_rest_after(desk, case):
    case.patient.suits_weekdays = [5]
    case.patient.save()

    days = desk.get(page_of(case)).context["times"].days

    assert [(day.day.day, day.suits) for day in days[:3]] == [
        (21, "suits"),
        (19, "does not suit"),
        (18, "does not suit"),
    ]


def test_what_suits_can_be_chosen_for_this_once(desk, case):
    answer = desk.post(page_of(case), sent(case, weekdays=["4"], parts=["evening"], look="1"))

    days = answer.context["times"].days
    assert [(day.day.day, day.suits) for day in days[:2]] == [
        (20, "suits in part"),
        (19, "does not suit"),
    ]
    case.patient.refresh_from_db()
    assert case.patient.suits_weekdays == []


def test_how_near_is_chosen_too(desk, case):
    answer = desk.post(page_of(case), sent(case, days_before="0", days_after="1", look="1"))

    assert offers(answer) == ["19 09:00", "20 09:00"]


@pytest.mark.parametrize("days", ["-1", "57", "many"])
def test_a_nearness_that_makes_no_sense_is_answered_and_left_out(desk, case, days):
    answer = desk.post(page_of(case), sent(case, days_after=days, look="1"))

    assert list(answer.context["find"].errors) == ["days_after"]
    assert len(offers(answer)) == 9


def test_all_times_of_a_day_are_a_press_away(desk, case):
    create_appointment(practitioner=case.lead, starts_at=at(9, 30, day=DUE))

    answer = desk.post(page_of(case), sent(case, only="2026-03-19"))

    assert offers(answer) == ["19 09:00", "19 10:00", "19 10:30"]
    assert not AuditEvent.objects.filter(verb="booked").exists()


def test_a_day_without_a_free_time_says_so(desk, case):
    fill(case.lead, DUE)

    answer = desk.post(page_of(case), sent(case, only="2026-03-19"))

    assert "Nothing is free on this day." in answer.content.decode()


def test_where_nothing_is_free_near_the_day_the_weeks_after_it_are_offered(desk, case):
    midnight = at(0)
    Absence.objects.create(
        staff=case.lead, starts_at=midnight, ends_at=midnight + datetime.timedelta(days=30)
    )

    answer = desk.get(page_of(case))

    # 12 March and 30 days: back on 11 April.
    assert answer.context["times"].beyond
    assert offers(answer)[:2] == ["11 09:00", "12 09:00"]
    assert "nothing is free nearer to the day wanted, so from 27 Mar 2026 on" in (
        answer.content.decode()
    )


def test_where_nothing_is_free_at_all_the_page_says_what_to_do(desk, case):
    OpeningHours.objects.all().delete()

    page = desk.get(page_of(case)).content.decode()

    assert "Nothing is free in eight weeks." in page
    assert "Choose another day, somebody else or a shorter time" in page


def test_closed_days_absences_and_bookings_are_not_offered(desk, case):
    ClosedDay.objects.create(clinic=case.clinic, day=DUE, name="Fair")
    fill(case.lead, DUE - DAY)
    Absence.objects.create(
        staff=case.lead, starts_at=at(0, day=DUE + DAY), ends_at=at(10, day=DUE + DAY)
    )

    assert offers(desk.get(page_of(case)))[:2] == ["20 10:00", "17 09:00"]


def test_a_time_at_which_the_patient_is_elsewhere_in_the_clinic_is_not_offered(desk, case):
    colleague = create_physiotherapist(clinic=case.clinic)
    create_appointment(
        practitioner=colleague, patient=case.patient, starts_at=at(9, day=DUE), minutes=60
    )

    assert offers(desk.get(page_of(case)))[0] == "19 10:00"


def test_an_overdue_patient_is_offered_today_first(desk, case):
    case.set_due(THURSDAY - 9 * DAY)

    answer = desk.get(page_of(case))

    assert offers(answer)[:2] == ["12 09:00", "13 09:00"]
    assert [day.near for day in answer.context["times"].days[:3]] == [
        "today",
        "tomorrow",
        "in 2 days",
    ]


def test_the_length_of_the_kind_counts(desk, case):
    create_appointment(practitioner=case.lead, starts_at=at(9, day=DUE), minutes=60)
    create_appointment(practitioner=case.lead, starts_at=at(10, 45, day=DUE), minutes=15)

    short = desk.post(page_of(case), sent(case, kind="review", look="1"))
    long = desk.post(page_of(case), sent(case, kind="first", minutes="60", look="1"))

    assert (offers(short)[0], offers(long)[0]) == ("19 10:00", "18 09:00")


def test_looking_books_nothing_and_keeps_what_was_chosen(desk, case):
    answer = desk.post(
        page_of(case), sent(case, kind="review", day="2026-03-16", minutes="60", look="1")
    )

    form = answer.context["form"]
    chosen = {name: str(form[name].value()) for name in ("kind", "day", "minutes")}
    assert chosen == {"kind": "review", "day": "2026-03-16", "minutes": "60"}
    assert offers(answer)[0] == "16 09:00"
    assert not Appointment.objects.exists()


def test_a_new_patient_is_offered_anybody_from_today_on(desk, physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic)

    answer = desk.get(f"/book/new/?patient={patient.pk}")

    assert offers(answer)[:2] == [f"12 09:00 {physiotherapist}", f"13 09:00 {physiotherapist}"]
    assert answer.context["times"].minutes == 45


def test_a_booking_is_moved_by_one_press_and_its_own_time_is_not_offered(desk, case):
    booked = create_appointment(
        practitioner=case.lead, patient=case.patient, case=case, starts_at=at(9, day=DUE)
    )
    page = desk.get(f"/book/{booked.pk}/")
    assert offers(page)[0] == "19 09:15"
    assert page.context["times"].days[0].near == "the same day"

    values = sent(case, opened_with=page.context["form"].now, take=keys(page)[0])
    desk.post(f"/book/{booked.pk}/", values)

    booked.refresh_from_db()
    assert (booked.starts_at, booked.minutes) == (at(9, 15, day=DUE), 30)
    assert AuditEvent.objects.filter(verb="moved").count() == 1


def test_a_booking_can_be_looked_up_with_anybody(desk, case):
    colleague = create_physiotherapist(clinic=case.clinic)
    booked = fill(case.lead, DUE)

    answer = desk.post(f"/book/{booked.pk}/", sent(case, practitioner="", look="1"))

    assert offers(answer)[0] == f"19 09:00 {colleague}"


def test_the_first_nine_have_a_key(desk, case):
    page = desk.get(page_of(case)).content.decode()

    assert [f'accesskey="{number}"' in page for number in range(1, 11)] == [True] * 9 + [False]


@pytest.mark.parametrize("rows", [1, 3])
def test_looking_costs_the_same_however_full_the_book_is(
    desk, case, rows, django_assert_num_queries
):
    for row in range(rows):
        who = create_physiotherapist(clinic=case.clinic)
        create_appointment(practitioner=who, starts_at=at(9, day=DUE + row * DAY))
        Absence.objects.create(staff=who, starts_at=at(10, day=DUE), ends_at=at(11, day=DUE))

    with django_assert_num_queries(16):
        desk.post(page_of(case), sent(case, practitioner="", look="1"))
