"""From records to what the sheets say."""

import datetime
from dataclasses import replace

import pytest

from cases.invitation import short_invitation
from clinic.evidence import Status
from rehab.clinical.thresholds import in_force
from rehab.printing import gather
from rehab.printing.home_program import NextVisit
from rehab.printing.paper import LARGE, NORMAL
from rehab.printing.scan_code import MOST_OCTETS
from tests.factories.cases import create_appointment, create_case, create_patient
from tests.factories.rehab import ISSUED, create_issued

NOW = datetime.datetime(2026, 3, 12, 12, 0, tzinfo=datetime.UTC)
SOON = datetime.datetime(2026, 3, 26, 9, 30, tzinfo=datetime.UTC)
VISIT = NextVisit(
    on=datetime.date(2026, 3, 26), at=datetime.time(9, 30), practitioner="Ida Solvang"
)

pytestmark = pytest.mark.django_db


def without_entry(visit: NextVisit) -> NextVisit:
    """What the sheet says in words; the calendar's entry is read in a test of its own."""
    return replace(visit, entry=b"")


@pytest.fixture
def program(physiotherapist):
    physiotherapist.last_name = "Solvang"
    physiotherapist.save()
    patient = create_patient(
        clinic=physiotherapist.clinic, family_name="Oyelaran", record_number=217
    )
    return create_issued(case=create_case(lead=physiotherapist, patient=patient), at=ISSUED)


def test_the_home_program_says_whose_it_is_and_who_wrote_it(program):
    sheet = gather.home_program(program, now=NOW)

    assert (sheet.patient, sheet.record, str(sheet.elbow)) == (
        "Marit Oyelaran",
        "0217",
        "Right elbow",
    )
    assert (sheet.issued_by, sheet.registration_number) == ("Ida Solvang", "PH-1001")
    assert (sheet.on, sheet.issued_on) == (datetime.date(2026, 3, 12), datetime.date(2026, 3, 11))
    assert (sheet.version, sheet.stage, sheet.remark) == (2, 2, "Go easy on the winch.")
    assert sheet.clinic.emergency_phone == "112"


def test_the_exercises_come_in_their_order_with_dose_and_remark(program):
    exercises = gather.home_program(program, now=NOW).exercises

    assert [(e.name, str(e.headline), e.remark) for e in exercises] == [
        ("Lift and lower", "3 × 15, 1.2 kg", ""),
        ("Fist hold", "5 × 20 s", "Use the sponge."),
    ]


def test_the_days_are_named_where_the_patient_can_not_train_on_all_of_them(program):
    program.weekdays = [0, 2, 4]
    for row, days in zip(program.exercises.all(), (2, 3), strict=True):
        row.days_per_week = days

    sheet, page = gather.home_program(program, now=NOW), gather.diary_page(program, now=NOW)

    assert str(sheet.training_days) == "Monday, Wednesday and Friday"
    assert [str(exercise.dose[-1]) for exercise in sheet.exercises] == [
        "Best on Monday and Friday.",
        "Best on Monday, Wednesday and Friday.",
    ]
    assert str(page.training_days) == "Best on Monday and Friday."


def test_no_days_are_named_where_all_are_open(program):
    sheet, page = gather.home_program(program, now=NOW), gather.diary_page(program, now=NOW)

    assert (sheet.training_days, page.training_days) == ("", "")
    assert str(sheet.exercises[0].dose[-1]) == "Do this once a day, every day."


def test_the_pain_limits_are_those_of_the_programs_policy(program):
    program.policy = "strict"
    limits = gather.home_program(program, now=NOW).limits

    assert (limits.settled_up_to, limits.too_much_from) == (2, 3)
    assert (limits.morning_watch, limits.morning_too_much) == (1, 2)


def test_a_clinics_own_limits_are_printed_as_its_own(program):
    own = in_force({"standard_red_floor": 5, "morning_watch_rise": 1.5})
    limits = gather.home_program(program, now=NOW, limits=own).limits

    assert (limits.settled_up_to, limits.too_much_from, limits.morning_watch) == (3, 5, 2)
    assert limits.status == Status.CLINIC_SETTING
    assert str(limits.source).endswith(f"NHS providers; {program.clinic.name}")


def test_the_next_visit_is_the_first_that_is_still_booked(program):
    case = program.case
    for days, status in [(7, "booked"), (0, "booked"), (-7, "cancelled"), (-30, "seen")]:
        create_appointment(
            practitioner=case.lead, patient=case.patient, case=case, status=status,
            starts_at=SOON + datetime.timedelta(days=days),
        )  # fmt: skip

    assert without_entry(gather.home_program(program, now=NOW).next_visit) == VISIT


def test_the_next_visit_comes_with_its_entry_for_the_calendar(program):
    case = program.case
    booked = create_appointment(
        practitioner=case.lead, patient=case.patient, case=case, starts_at=SOON
    )

    entry = short_invitation(booked, now=NOW, octets=MOST_OCTETS)
    assert gather.home_program(program, now=NOW).next_visit.entry == entry


def test_a_booking_that_names_no_case_counts_and_one_for_another_case_does_not(program):
    case = program.case
    other = create_case(lead=case.lead, patient=case.patient, side="left")
    earlier = SOON - datetime.timedelta(days=3)
    create_appointment(practitioner=case.lead, patient=case.patient, case=other, starts_at=earlier)
    create_appointment(practitioner=case.lead, patient=create_patient(clinic=case.clinic),
                       starts_at=earlier + datetime.timedelta(hours=1))  # fmt: skip
    assert gather.home_program(program, now=NOW).next_visit is None

    create_appointment(practitioner=case.lead, patient=case.patient, starts_at=SOON)
    assert without_entry(gather.home_program(program, now=NOW).next_visit) == VISIT


def test_the_diary_asks_for_the_main_exercise_from_today_to_the_next_visit(program):
    case = program.case
    create_appointment(practitioner=case.lead, patient=case.patient, case=case, starts_at=SOON)
    page = gather.diary_page(program, now=NOW)

    assert (page.exercise, str(page.headline), page.sets, page.holds) == (
        "Lift and lower",
        "3 × 15, 1.2 kg",
        3,
        False,
    )
    assert (page.first_day, page.days) == (datetime.date(2026, 3, 12), 14)
    assert without_entry(page.next_visit) == VISIT


def test_the_diary_names_the_exercises_that_follow_the_first(program):
    assert gather.diary_page(program, now=NOW).others == ("Fist hold",)


def test_sets_of_all_times_of_the_day_are_asked_for(physiotherapist):
    row = {"card": "fist-hold", "sets": 5, "hold_s": 20, "days_per_week": 7, "sessions_per_day": 2}
    program = create_issued(case=create_case(lead=physiotherapist), rows=(row,))
    page = gather.diary_page(program, now=NOW)

    assert (page.sets, page.holds) == (10, True)


@pytest.mark.parametrize(
    ("until", "days"), [(None, 14), (0, 7), (1, 7), (7, 7), (8, 14), (21, 21), (42, 42), (90, 42)]
)
def test_the_diary_covers_whole_weeks_up_to_six(until, days):
    today = datetime.date(2026, 3, 12)
    visit = until if until is None else NextVisit(
        on=today + datetime.timedelta(days=until), at=datetime.time(9), practitioner="Ida Solvang"
    )  # fmt: skip

    assert gather.days_until(visit, today=today) == days


@pytest.mark.parametrize(("size", "points"), [("normal", NORMAL), ("large", LARGE)])
def test_the_paper_has_the_patients_print_size(program, size, points):
    program.case.patient.print_size = size

    assert gather.paper_for(program).body == points
