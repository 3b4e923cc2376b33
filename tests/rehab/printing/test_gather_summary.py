"""From the records of a case to what its course summary says."""

import datetime

import pytest
from django.utils import timezone

from cases.models import Case, Injection, Intake
from rehab.clinical.progression import propose
from rehab.models import Decision
from rehab.printing.gather_summary import summary
from rehab.printing.paper import Paper
from rehab.printing.summary import summary_pdf
from tests.factories.assessments import create_activities, create_grip, create_own, create_pain
from tests.factories.cases import (
    OPENED,
    create_appointment,
    create_case,
    create_patient,
    create_visit,
)
from tests.factories.rehab import create_issued
from tests.rehab.clinical.arms import arm
from tests.rehab.printing.sheets import text_of

NOW = datetime.datetime(2026, 3, 30, 12, 0, tzinfo=datetime.UTC)
WEEK = datetime.timedelta(weeks=1)

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(physiotherapist):
    patient = create_patient(clinic=physiotherapist.clinic, record_number=217)
    return create_case(lead=physiotherapist, patient=patient)


def seen(case, *, weeks: int = 0, pain: int | None = 6, grip_n: float | None = 98.0665, sign=True):
    """A visit so many weeks after the first, with pain and grip."""
    visit = create_visit(case=case, on=case.opened + weeks * WEEK)
    if pain is not None:
        create_pain(visit=visit, on_gripping=pain)
    if grip_n is not None:
        create_grip(visit=visit, trials_n=(grip_n,) * 3)
    if sign:
        visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


def decide(case, program, **changes) -> Decision:
    """A decision of stage 2 at a visit of its own, as proposed for an arm but for `changes`."""
    visit = create_visit(case=case, on=case.opened + WEEK)
    proposal = propose(arm(**changes))
    decision = Decision.make(
        visit, program, proposal, made=str(proposal.decision), made_step=str(proposal.load_step),
        reason="", by=case.lead, at=timezone.now(),
    )  # fmt: skip
    visit.sign(by=case.lead, at=timezone.now())
    return decision


def of(case):
    return summary(case, now=NOW)


def test_it_says_who_came_when_and_why(case):
    Intake.objects.create(
        case=case,
        manner="gradual",
        provoked_by=["gripping", "tools"],
        occupation="cook",
        sport="judo",
    )
    Injection.objects.create(case=case, given_on=OPENED, substance="corticosteroid")
    create_activities("knead dough", case=case)
    seen(case), seen(case, weeks=2)
    sheet = of(case)

    assert (sheet.record, sheet.born, sheet.visits) == ("0217", datetime.date(1981, 5, 4), 2)
    assert (sheet.since, sheet.until) == (OPENED, OPENED + 2 * WEEK)
    assert (sheet.why.began, sheet.why.manner) == (case.onset, "came on gradually")
    assert (sheet.why.provoked, sheet.why.wants) == (("gripping", "using tools"), ("knead dough",))
    assert (sheet.why.occupation, sheet.why.sport) == ("cook", "judo")
    assert sheet.why.injections == (("corticosteroid", OPENED),)


def test_a_measure_is_compared_from_its_first_value_to_its_newest_in_the_unit_of_the_dial(case):
    seen(case), seen(case, weeks=2, pain=3, grip_n=196.133)
    pain, grip = of(case).measured.rows

    assert (pain.name, pain.start, pain.now) == ("Pain on gripping, 0–10", "6", "3")
    assert (pain.change, pain.reached, pain.published) == ("better by 3, beyond error (1.4)", 3, 3)
    assert (grip.name, grip.start, grip.now) == ("Pain-free grip, kg", "10", "20")
    assert grip.change == "better by 10 kg, beyond error (9.38)"


def test_the_lead_and_the_charts_are_pain_and_grip(case):
    seen(case), seen(case, weeks=2, pain=3, grip_n=196.133)
    create_issued(case=case)
    sheet = of(case)

    assert [str(words) for words in sheet.moved] == [
        "Your pain when you grip went from 6 to 3 out of 10.",
        "Your grip before it hurts went from 10 to 20 kg.",
        "You are in stage 2 of 5.",
    ]
    pain, grip = sheet.measured.charts
    assert [round(value, 6) for _day, value in grip.points] == [10, 20]
    assert (pain.title, pain.targets, pain.slope, pain.waited) == ("Pain on gripping", (), None, ())


def test_another_pain_stands_in_where_gripping_was_not_rated(case):
    create_pain(visit=seen(case, pain=None, sign=False), worst_24h=4)

    assert str(of(case).moved[0]) == "Your worst pain in a day: 4 out of 10."


def test_a_measure_of_other_days_names_them(case):
    seen(case, grip_n=None), seen(case, weeks=1), seen(case, weeks=3)
    pain, grip = of(case).measured.rows

    assert (pain.days, grip.days) == ("", "9 Mar 2026 – 23 Mar 2026")


def test_a_first_visit_is_compared_with_nothing(case):
    seen(case)
    measured = of(case).measured

    assert (measured.rows, measured.charts) == ((), ())
    assert [(row.name, row.now) for row in measured.once] == [
        ("Pain on gripping, 0–10", "6"),
        ("Pain-free grip, kg", "10"),
    ]


def test_a_rating_that_is_a_change_itself_has_no_start_and_days_off_are_not_compared(case):
    for weeks in (0, 1):
        visit = seen(case, weeks=weeks, sign=False)
        create_own(visit=visit, global_rating=2 + weeks, time_off_work=5)
        visit.sign(by=case.lead, at=timezone.now())
    rated, away = of(case).measured.rows[-2:]

    assert (rated.name, rated.start, rated.now) == ("Global rating of change, −5 to 5", "", "3")
    assert (away.name, away.start, away.now, away.published) == ("Time off work, days", "5", "5", 0)


def test_a_sore_other_elbow_is_no_yardstick(case):
    for weeks in (0, 1):
        visit = seen(case, weeks=weeks, sign=False)
        create_grip(visit=visit, side=case.affected.other, trials_n=(200,) * 3)
        visit.sign(by=case.lead, at=timezone.now())
    compared = of(case).measured.rows[2]
    create_case(lead=case.lead, patient=case.patient, side="left")
    later = Case.objects.get(pk=case.pk)

    assert compared.name == "Grip ratio, affected to other side"
    assert compared.change == "no change"
    assert of(later).measured.rows[2].change == "not compared: other elbow sore too"


def test_the_program_is_told_with_its_pain_limits(case):
    create_issued(case=case, stage=3, version=4)
    work = of(case).work

    assert (work.version, work.stage, work.limits.too_much_from) == (4, 3, 6)
    assert [(name, str(dose), str(often)) for name, dose, often in work.exercises] == [
        ("Lift and lower", "3 × 15, 1.2 kg", "Do this once a day, every day."),
        ("Fist hold", "5 × 20 s", "Do this once a day, every day."),
    ]


def test_the_plan_says_what_was_decided_and_what_the_next_stage_waits_for(case):
    decide(case, create_issued(case=case), days_in_stage=20, days_since_load_step=1)
    plan = of(case).plan

    assert (str(plan.decided), plan.decided_on) == (
        "you stay in this stage with the same load.",
        OPENED + WEEK,
    )
    assert (str(plan.waits_title), [str(words) for words in plan.waits]) == (
        "Still to reach for stage 3:",
        ["At least 21 days in this stage."],
    )
    assert "2 sessions too much in a week" in str(plan.changes[0])


def test_a_stage_that_was_reached_waits_for_nothing_that_was_decided_before(case):
    decide(case, create_issued(case=case), days_in_stage=20, days_since_load_step=1)
    create_issued(case=case, stage=3, version=3)

    assert of(case).plan.waits == ()


def test_the_first_stage_has_none_below(case):
    create_issued(case=case, stage=1)

    [again] = of(case).plan.changes
    assert str(again).startswith("No real change after 6 weeks: we look at the plan again.")


def test_the_plan_names_the_booking_and_the_day_that_was_wanted(case):
    case.set_due(datetime.date(2026, 3, 29))
    create_appointment(
        starts_at=NOW + WEEK, practitioner=case.lead, patient=case.patient, case=case
    )
    plan = of(case).plan

    assert (plan.next_visit.on, plan.due_on, plan.overdue) == (
        datetime.date(2026, 4, 6),
        datetime.date(2026, 3, 29),
        True,
    )


def test_a_closed_case_says_why(case):
    case.close("discharged", on=OPENED + WEEK, reason="goals met")

    assert of(case).plan.closed == "This case was closed on 9 Mar 2026: discharged, goals met"


def test_the_last_signed_visit_and_a_later_draft_are_told(case):
    seen(case)
    assert (of(case).signed.last_on, of(case).signed.draft_on) == (OPENED, None)

    create_visit(case=case, on=OPENED + WEEK)
    signed = of(case).signed

    assert (signed.lead, signed.registration) == (str(case.lead), "PH-1001")
    assert (signed.last_on, signed.draft_on, signed.last_by) == (
        OPENED,
        OPENED + WEEK,
        str(case.lead),
    )


def test_a_case_without_anything_is_told(case):
    sheet = of(case)

    assert (sheet.round, sheet.screened, sheet.measured, sheet.work) == (None,) * 4
    assert (sheet.visits, sheet.since, sheet.signed.last_on) == (0, None, None)


def test_it_is_gathered_in_the_patients_language(case):
    case.patient.language = "es"
    case.patient.save()
    seen(case), seen(case, weeks=2, pain=3, grip_n=171.616)

    printed = text_of(summary_pdf(of(case), Paper()))
    assert "10 17,5" in printed
    assert "2 mar 2026" in printed
