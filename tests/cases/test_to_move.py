"""Bookings that no longer fit the calendar."""

import datetime

import pytest

from cases.models import Appointment
from clinic.models import Absence, AuditEvent, ClosedDay, OpeningHours
from tests.cases.conftest import THURSDAY, at
from tests.factories.cases import create_appointment, create_case
from tests.factories.clinic import create_clinic, create_physiotherapist

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("morning")]

FRIDAY = datetime.date(2026, 3, 13)
PAGE = "/book/to-move/"


@pytest.fixture
def desk(front_desk, signed_in):
    return signed_in(front_desk)


@pytest.fixture
def booked(physiotherapist):
    """Friday at 09:00 for half an hour."""
    return create_appointment(practitioner=physiotherapist, starts_at=at(9, day=FRIDAY))


def close(clinic, *, day=FRIDAY):
    return ClosedDay.objects.create(clinic=clinic, day=day, name="Boat day")


def leave(staff, *, start, end):
    return Absence.objects.create(
        staff=staff, starts_at=at(start, day=FRIDAY), ends_at=at(end, day=FRIDAY)
    )


def listed(desk):
    return [(row.booking, row.reasons) for row in desk.get(PAGE).context["page"]]


def test_what_fits_stays_where_it_is(desk, booked):
    assert listed(desk) == []
    assert "Every booking fits." in desk.get(PAGE).content.decode()


def test_a_closed_day_moves_who_is_booked(desk, booked):
    close(booked.clinic)

    assert listed(desk) == [(booked, ("The clinic is closed on 13 Mar 2026: Boat day.",))]


def test_hours_that_change_move_who_is_left_outside(desk, booked):
    OpeningHours.objects.filter(weekday=4).update(opens=datetime.time(9, 15))

    assert listed(desk) == [(booked, ("The clinic is open 09:15–18:00 on Friday.",))]


def test_an_absence_moves_its_practitioners_bookings_alone(desk, booked, physiotherapist):
    colleague = create_physiotherapist(clinic=booked.clinic)
    create_appointment(practitioner=colleague, starts_at=at(9, day=FRIDAY))
    create_appointment(practitioner=physiotherapist, starts_at=at(12, day=FRIDAY))
    leave(physiotherapist, start=9, end=12)

    away = f"{physiotherapist} is away on 13 Mar 2026 from 09:00 to 12:00."
    assert listed(desk) == [(booked, (away,))]


def test_every_reason_is_given(desk, booked, physiotherapist):
    close(booked.clinic)
    leave(physiotherapist, start=8, end=18)

    [(_booking, reasons)] = listed(desk)

    assert len(reasons) == 2


def test_two_stretches_that_touch_are_one(desk, booked):
    OpeningHours.objects.filter(weekday=4).update(closes=datetime.time(9, 15))
    OpeningHours.objects.create(
        clinic=booked.clinic, weekday=4, opens=datetime.time(9, 15), closes=datetime.time(18)
    )

    assert Appointment.objects.out_of_place().get() == booked
    assert listed(desk) == []


@pytest.mark.parametrize("status", ["arrived", "seen", "missed", "cancelled"])
def test_only_what_is_still_booked_is_moved(desk, booked, status):
    close(booked.clinic)
    Appointment.objects.filter(pk=booked.pk).update(status=status)

    assert listed(desk) == []


def test_what_is_over_stays(desk, physiotherapist, morning):
    create_appointment(practitioner=physiotherapist, starts_at=at(8, 5))
    close(physiotherapist.clinic, day=THURSDAY)
    morning(at(8, 6))

    assert listed(desk) == []


def test_the_days_and_bookings_of_other_clinics_are_not_looked_at(desk, booked):
    close(create_clinic())
    elsewhere = create_appointment(starts_at=at(9, day=FRIDAY))
    close(elsewhere.clinic)

    assert listed(desk) == []


def test_they_stand_in_the_order_of_time_and_lead_to_the_form(desk, booked, physiotherapist):
    sooner = create_appointment(practitioner=physiotherapist, starts_at=at(17, day=THURSDAY))
    for day in (FRIDAY, THURSDAY):
        close(booked.clinic, day=day)

    assert [booking for booking, _reasons in listed(desk)] == [sooner, booked]
    assert f'href="/book/{booked.pk}/?next=/book/to-move/"' in desk.get(PAGE).content.decode()


def test_a_late_evening_counts_by_the_clinics_own_clock(desk, physiotherapist):
    """In summer 00:15 in London is 23:15 UTC of the day before."""
    OpeningHours.objects.update(opens=datetime.time(0), closes=datetime.time(23, 59))
    monday, tuesday = datetime.date(2026, 6, 1), datetime.date(2026, 6, 2)
    early = create_appointment(practitioner=physiotherapist, starts_at=at(0, 15, day=tuesday))
    create_appointment(practitioner=physiotherapist, starts_at=at(23, 15, day=monday))
    close(physiotherapist.clinic, day=tuesday)

    assert [booking for booking, _reasons in listed(desk)] == [early]


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long_it_is(
    desk, physiotherapist, rows, django_assert_num_queries
):
    for row in range(rows):
        create_for_case(physiotherapist, starts_at=at(9 + row, day=FRIDAY))
    close(physiotherapist.clinic)

    with django_assert_num_queries(8):
        assert len(listed(desk)) == rows


def create_for_case(lead, *, starts_at):
    case = create_case(lead=lead)
    return create_appointment(
        practitioner=lead, patient=case.patient, case=case, starts_at=starts_at
    )


def offered(desk):
    """The times offered for the one booking of the list, with whom."""
    [move] = desk.get(PAGE).context["moves"]
    return [f"{offer.fit.start:%a %d %H:%M} {offer.fit.who}" for offer in move.offers]


def press(desk, number):
    """Press one of the times of the one booking, as the page's form sends it."""
    [move] = desk.get(PAGE).context["moves"]
    booked = move.booking
    sent = {
        "kind": booked.kind,
        "case": booked.case_id or "",
        "minutes": booked.minutes,
        "opened_with": move.opened_with,
        "next": PAGE,
        "take": move.offers[number].key,
    }
    return desk.post(f"/book/{booked.pk}/", sent)


def test_two_times_with_the_same_practitioner_are_offered_and_one_with_another(
    desk, booked, physiotherapist
):
    colleague = create_physiotherapist(clinic=booked.clinic)
    leave(physiotherapist, start=8, end=18)

    assert offered(desk) == [
        f"Thu 12 08:00 {physiotherapist}",
        f"Thu 12 11:00 {physiotherapist}",
        f"Fri 13 08:00 {colleague}",
    ]


def test_whoever_is_away_for_long_is_stood_in_for(desk, booked, physiotherapist):
    colleague = create_physiotherapist(clinic=booked.clinic)
    Absence.objects.create(
        staff=physiotherapist, starts_at=at(8), ends_at=at(8, day=datetime.date(2026, 4, 12))
    )

    assert offered(desk) == [f"Fri 13 {clock} {colleague}" for clock in ("08:00", "11:00", "14:00")]


def test_what_suits_the_patient_is_offered_first(desk, booked):
    booked.patient.suits_weekdays, booked.patient.suits_parts = [0], ["evening"]
    booked.patient.save()
    close(booked.clinic)

    assert offered(desk)[0] == f"Mon 16 17:00 {booked.practitioner}"


def test_a_time_at_which_the_patient_or_the_practitioner_is_booked_is_not_offered(desk, booked):
    colleague = create_physiotherapist(clinic=booked.clinic)
    create_appointment(practitioner=booked.practitioner, starts_at=at(8), minutes=60)
    create_appointment(practitioner=colleague, patient=booked.patient, starts_at=at(9), minutes=60)
    close(booked.clinic)

    assert offered(desk)[0] == f"Thu 12 10:00 {booked.practitioner}"


def test_one_press_moves_the_booking_and_leads_back_to_the_list(desk, physiotherapist):
    booked = create_for_case(physiotherapist, starts_at=at(9, day=FRIDAY))
    close(booked.clinic)
    case = booked.case

    answer = press(desk, 0)

    booked.refresh_from_db()
    assert answer.url == PAGE
    assert (booked.starts_at, booked.minutes, booked.case) == (at(8), 30, case)
    assert AuditEvent.objects.filter(verb="moved").count() == 1
    assert listed(desk) == []


def test_a_booking_that_somebody_else_has_moved_meanwhile_is_shown_side_by_side(
    desk, booked, monkeypatch
):
    close(booked.clinic)
    opened = desk.get(PAGE)
    Appointment.objects.filter(pk=booked.pk).update(
        starts_at=at(10, day=FRIDAY), ends_at=at(10, 30, day=FRIDAY)
    )
    monkeypatch.setattr(desk, "get", lambda _address: opened)

    answer = press(desk, 0)

    booked.refresh_from_db()
    assert answer.context["form"].conflicts
    assert booked.starts_at == at(10, day=FRIDAY)


@pytest.mark.parametrize("role", ["physiotherapist", "front_desk", "manager"])
def test_everybody_who_books_may_look(request, signed_in, role):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == 200


def test_other_methods_are_refused(desk):
    assert desk.post(PAGE).status_code == 405
