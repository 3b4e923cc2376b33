"""Appointments to come brought in from a file."""

import datetime

import pytest

from cases.importing import steps
from cases.models import Appointment, Import, Patient
from clinic.models import Absence, ClosedDay
from tests.cases.conftest import at
from tests.cases.importing import (
    BOOKED,
    begin,
    bring_in,
    checked,
    go_on,
    name_columns,
    problems,
    row,
    upload,
    url,
    written,
)
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db

FRIDAY = datetime.date(2026, 3, 13)
NAMED = ["First name", "Surname", "Date of birth", "Start", "Ends", "Therapist", "Type"]


@pytest.fixture
def ida(physiotherapist):
    physiotherapist.first_name, physiotherapist.last_name = "Ida", "Solvang"
    physiotherapist.save()
    return physiotherapist


@pytest.fixture
def desk(signed_in, manager, ida, morning):
    return signed_in(manager)


@pytest.fixture
def patients(desk):
    bring_in(desk, written([row(n) for n in range(1, 6)]))
    return list(Patient.objects.order_by("record_number"))


def booked(number, clock="10:00", *, day="2026-03-13", minutes="30", therapist="Ida Solvang"):
    return [str(number), day, clock, minutes, therapist]


def file(*rows) -> bytes:
    return written(rows, head=BOOKED)


def check(desk, *rows, **changes):
    return checked(desk, file(*rows), kind="appointments", **changes)


def test_a_booking_finds_its_patient_by_the_number_in_the_file_of_patients(desk, patients, ida):
    bring_in(desk, file(booked(2), booked(1, "2:30 pm", minutes="")), kind="appointments")

    first, second = Appointment.objects.order_by("starts_at")
    assert (first.patient, first.practitioner, first.status) == (patients[1], ida, "booked")
    assert (first.starts_at, first.minutes, first.kind) == (at(10, day=FRIDAY), 30, "follow-up")
    assert (second.patient, second.starts_at) == (patients[0], at(14, 30, day=FRIDAY))


def test_a_number_also_finds_who_was_on_record_already(desk, manager):
    known = create_patient(
        clinic=manager.clinic,
        given_name="Ada7",
        family_name="Quist5398",
        born="1937-08-08",
        record_number=700,
    )
    bring_in(desk, written([row(7), row(1)]))
    bring_in(desk, file(booked(7)), kind="appointments")

    assert Appointment.objects.get().patient == known


def test_without_numbers_name_and_birth_date_say_who_it_is(desk, ida):
    known = create_patient(clinic=ida.clinic, given_name="Tor", family_name="Zähl-Berg")
    case = create_case(lead=ida, patient=known)
    data = written(
        [["TOR", "Zahl Berg", "04.05.1981", "13.03.2026 09:15", "10:00", "Solvang", "New patient"]],
        head=NAMED,
        delimiter=";",
    )
    bring_in(desk, data, kind="appointments", order_born="day")

    one = Appointment.objects.get()
    assert (one.patient, one.case, one.practitioner) == (known, case, ida)
    assert (one.starts_at, one.minutes, one.kind) == (at(9, 15, day=FRIDAY), 45, "first")


def test_who_can_not_be_told_is_an_error(desk, patients, ida):
    for number in (701, 702):
        twin = {"given_name": "Tor", "family_name": "Zahl", "born": "1970-01-01"}
        create_patient(clinic=ida.clinic, record_number=number, **twin)
    people = [
        ("Tor", "Zahl", "1970-01-01"),
        ("Ada1", "Quist7918", "1931-02-02"),
        ("Nobody", "Here", "1931-02-02"),
    ]
    rest = ["2026-03-13 10:00", "10:30", "Ida Solvang", "review"]
    run = checked(desk, written([[*who, *rest] for who in people], head=NAMED), kind="appointments")

    record = patients[0].record
    told = [why for _line, why in problems(run)]
    assert told == [
        "More than one patient has this name and birth date: 0701, 0702.",
        f"Nobody has this name; Ada1 Quist7919, record {record}, is born that day.",
        "Nobody with this name and birth date is on record.",
    ]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"number": 99}, "No patient came with the number 99. Bring in the patients first."),
        ({"clock": "07:45"}, "The clinic is open 08:00–18:00 on Friday."),
        ({"clock": "17:45"}, "The clinic is open 08:00–18:00 on Friday."),
        ({"day": "2026-03-12", "clock": "07:30"}, "This time is over."),
        ({"day": "2025-03-13"}, "This time is over."),
        ({"day": "2062-03-13"}, "Check the year."),
        ({"day": "2026-02-30"}, "“2026-02-30” is no date in the order that was chosen."),
        ({"day": "2026-03-16"}, "The clinic is closed on 16 Mar 2026: Launch of the lifeboat."),
        ({"day": "2026-03-17"}, "Ida Solvang is away on 17 Mar 2026."),
        ({"day": "2026-03-29", "clock": "01:30"}, "The clocks change then, so this time is not clear."),
        ({"clock": "soon"}, "There is no time of day to be read."),
        ({"clock": "25:00"}, "There is no time of day to be read."),
        ({"minutes": "300"}, "The length must be 5 to 240 minutes."),
        ({"minutes": "half"}, "The length must be 5 to 240 minutes."),
        ({"day": "2026-03-18"}, "Ida Solvang is booked already, on 18 Mar 2026 at 09:45."),
        ({"clock": "11:15"}, "Line 2 has this time already."),
        ({"number": 2, "clock": "11:15"}, "Line 2 has this time already."),
    ],
)  # fmt: skip
def test_a_booking_that_can_not_be_is_named_by_its_line(desk, patients, ida, changes, why):
    ClosedDay.objects.create(
        clinic=ida.clinic, day=datetime.date(2026, 3, 16), name="Launch of the lifeboat"
    )
    Absence.objects.create(
        staff=ida,
        starts_at=at(0, day=datetime.date(2026, 3, 17)),
        ends_at=at(0, day=datetime.date(2026, 3, 18)),
    )
    known = create_patient(clinic=ida.clinic, record_number=700)
    on_wednesday = at(9, 45, day=datetime.date(2026, 3, 18))
    create_appointment(practitioner=ida, patient=known, starts_at=on_wednesday)
    run = check(desk, booked(2, "11:00"), booked(**({"number": 1} | changes)))

    assert problems(run) == [(3, why)]


def test_a_patient_is_not_booked_with_two_at_once(desk, patients, ida):
    other = create_physiotherapist(clinic=ida.clinic, first_name="Bo", last_name="Lind")
    create_appointment(practitioner=other, patient=patients[0], starts_at=at(12, day=FRIDAY))
    run = check(desk, booked(1, "12:15"), booked(2), booked(2, "10:15", therapist="Lind"))

    assert problems(run) == [
        (2, "The patient is booked already, on 13 Mar 2026 at 12:00 with Bo Lind."),
        (4, "Line 3 has this time already."),
    ]


def test_the_same_booking_again_is_on_record_and_no_error(desk, patients):
    bring_in(desk, file(booked(1)), kind="appointments")
    run = bring_in(
        desk, file(booked(1), booked(2, "11:00"), booked(2, "11:00")), kind="appointments"
    )

    assert [(one.line, one.state) for one in run.rows.left_out().in_order()] == [
        (2, "known"),
        (4, "known"),
    ]
    assert Appointment.objects.count() == 2


def test_rows_overlap_across_the_steps_of_the_check(desk, patients, monkeypatch):
    monkeypatch.setattr(steps, "CHECKED_AT_ONCE", 1)
    run = check(desk, booked(1), booked(2, "10:15"))

    assert problems(run) == [(3, "Line 2 has this time already.")]


def test_a_practitioner_who_is_nobody_here_leaves_the_rows_out(desk, patients):
    run = check(desk, booked(1, therapist="Dr. Gone"), word_practitioner_0="nobody")

    assert problems(run) == [(2, "“Dr. Gone” stands for nobody who sees patients here.")]


def test_a_time_that_is_booked_meanwhile_turns_all_or_nothing_around(
    desk, patients, ida, monkeypatch
):
    monkeypatch.setitem(steps.WRITTEN_AT_ONCE, "appointments", 1)
    run = check(desk, booked(1), booked(2, "11:00"), booked(3, "12:00"))
    begin(desk, run)
    desk.post(url(run, "step"))
    meanwhile = create_appointment(
        practitioner=ida, patient=patients[3], starts_at=at(11, 15, day=FRIDAY)
    )
    run = go_on(desk, run)

    assert (run.state, list(Appointment.objects.all())) == ("undone", [meanwhile])
    assert problems(run) == [(3, "Ida Solvang is booked already, on 13 Mar 2026 at 11:15.")]


def test_the_constraint_decides_when_the_check_comes_too_early(desk, patients, ida, monkeypatch):
    run = check(desk, booked(1), booked(2, "11:00"))
    begin(desk, run, errors="good")
    create_appointment(practitioner=ida, patient=patients[3], starts_at=at(10, 15, day=FRIDAY))
    monkeypatch.setattr("cases.importing.times.met", lambda *_seen: {})
    run = go_on(desk, run)

    assert problems(run) == [(2, "Somebody else has booked the practitioner meanwhile.")]
    assert run.counts == {"brought": 1, "wrong": 1}


def test_a_booking_that_somebody_has_marked_is_not_taken_back(desk, patients, ida, monkeypatch):
    monkeypatch.setitem(steps.WRITTEN_AT_ONCE, "appointments", 1)
    run = check(desk, booked(1), booked(2, "11:00"))
    begin(desk, run)
    desk.post(url(run, "step"))
    first = Appointment.objects.get()
    desk.post(f"/book/{first.pk}/cancel/", {"reason": "ill"})
    desk.post(url(run, "stop"))
    run = go_on(desk, run)

    assert list(Appointment.objects.all()) == [first]
    assert "Used meanwhile, so it stays." in desk.get(url(run)).content.decode()


@pytest.mark.parametrize("rows", [10, 40])
def test_a_step_asks_the_database_as_often_however_many_rows(
    desk, patients, ida, rows, django_assert_max_num_queries
):
    """The book of a day, and the rows further up in the file, are read once for all rows of the day."""
    times = [f"{8 + place // 6:02d}:{place % 6 * 10:02d}" for place in range(rows)]
    lines = [booked(1 + place % 2, time, minutes="10") for place, time in enumerate(times)]
    upload(desk, file(*lines), kind="appointments")
    run = Import.objects.latest("pk")
    name_columns(desk, run)
    with django_assert_max_num_queries(30):
        desk.post(url(run, "step"))
    begin(desk, run)
    with django_assert_max_num_queries(30):
        desk.post(url(run, "step"))

    assert Appointment.objects.count() == rows
