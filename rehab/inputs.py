"""What the rules need, gathered from the records of a case."""

import datetime

from assessments.clinical.pain import Context
from assessments.course import Course
from cases.clinical.findings import FindingAnswer
from cases.clinical.intake import age_on
from cases.clinical.screening import open_items
from cases.models import Battery, Case, Intake, Screening, Visit
from clinic.wording import Sentence, say
from rehab.clinical.arm import ArmToday
from rehab.clinical.ladder import Entry, EntryFindings, Stage, enter
from rehab.clinical.sessions import Reading, baseline, session_state
from rehab.models import DiaryDay, Program, StageCheck

LONGEST_LOOK_BACK = datetime.timedelta(days=120)  # further back, the diary decides nothing


def _pain(course: Course, context: Context, otherwise: int | None) -> int | None:
    """The newest rating of a visit, or what the intake said."""
    found = [visit.pains[context] for visit in course.visits if context in visit.pains]
    return found[-1] if found else otherwise


def entry_findings(case: Case, course: Course, *, on: datetime.date) -> EntryFindings:
    """What decides where a person enters the ladder; measures of visits come before the intake's."""
    intake = Intake.of_case(case)
    prtee = course.line("prtee").points
    return EntryFindings(
        age=age_on(case.patient.born, today=on),
        rest_pain=_pain(course, Context.AT_REST, intake.rest_pain),
        worst_pain=_pain(course, Context.WORST_24H, intake.worst_pain),
        night_wakings_a_week=intake.nights_woken,
        lasts_over_24_h=intake.lasts_over_24_h,
        prtee=prtee[-1].value if prtee else None,
    )


def entry(case: Case, course: Course, *, on: datetime.date) -> Entry:
    """Where the ladder is entered, and why."""
    return enter(entry_findings(case, course, on=on))


def reasons_not_to_issue(case: Case) -> tuple[Sentence, ...]:
    """Sentences that stop a program from being issued; none when the screening allows it."""
    screening = Screening.objects.latest_of(case)
    if screening is None:
        return (say("The screening has not been asked yet."),)
    return screening.may_issue()[1]


def red_flags(case: Case) -> tuple[Sentence, ...]:
    """What the newest screening found that must be acted on first."""
    screening = Screening.objects.latest_of(case)
    if screening is None:
        return ()
    return tuple(
        say("%(condition)s", condition=item.condition) for item in open_items(screening.given())
    )


def other_side_sore(case: Case, battery: Battery | None) -> bool | None:
    """Whether the other elbow is no yardstick: it hurts in the battery, or has a case of its own."""
    if case.patient.cases.open().exclude(pk=case.pk).exists():
        return True
    findings = battery.findings.all() if battery else ()
    other = [finding for finding in findings if finding.side != case.side]
    if not other:
        return None
    return any(finding.answer == FindingAnswer.FAMILIAR for finding in other)


def arm_today(visit: Visit, program: Program, course: Course) -> ArmToday:
    """The arm on the day of a visit, under the program that it has been doing."""
    case, today, main = visit.case, visit.on, program.main
    check = StageCheck.at(visit)
    intake = Intake.of_case(case)
    days = DiaryDay.objects.of_case(case).since(today - LONGEST_LOOK_BACK)
    sore = check.other_side_sore
    if sore is None:
        sore = other_side_sore(case, Battery.objects.latest_of(case))
    grip, prtee = course.grip, course.moments("prtee")
    worst = course.moments("pain_worst_24h")
    heavy = program.rung in (Stage.SLOW_RESISTANCE, Stage.HEAVY_AND_FAST)
    return ArmToday(
        age=age_on(case.patient.born, today=today),
        stage=program.rung,
        policy=program.rule,
        today=today,
        days_in_stage=(today - program.stage_since).days,
        weeks_in_care=case.days_since_opening(on=today) // 7,
        sessions_asked_per_week=main.days_per_week,
        sets_asked=main.sets,
        diary=tuple(day.given() for day in days if day.on <= today),
        repetitions_asked=main.repetitions,
        hold_s_asked=main.hold_s,
        load_kg=program.load_kg,
        start_load_kg=program.start_load_kg,
        days_since_load_step=(today - program.load_since).days,
        smallest_step_kg=program.smallest_step_kg,
        rm_band=main.repetitions if heavy else None,
        fast_work=any(exercise.card == "ball-pass" for exercise in program.exercises.all()),
        job_is_light=check.job_is_light,
        red_flags=red_flags(case),
        usual_morning_pain=None,
        usual_night_wakings=_usual_wakings(intake),
        grip_start_n=grip.affected_n.start,
        grip_last_n=grip.affected_n.last,
        grip_today_n=grip.affected_n.today,
        grip_ratio=grip.ratio.today,
        other_side_sore=sore,
        prtee_start=prtee.start,
        prtee_last=prtee.last,
        prtee_today=prtee.today,
        rest_pain=course.moments("pain_at_rest").today,
        worst_pain_start=worst.start,
        worst_pain_today=worst.today,
        test_lift_pain=check.test_lift_pain,
        return_steps_done=check.return_steps_done,
        own_goal_met=check.own_goal_met,
    )


def readings(case: Case, program: Program, days: list[DiaryDay]) -> dict[datetime.date, Reading]:
    """How the arm took each day with sets done, by day, under the program's pain policy."""
    usual = _usual_wakings(Intake.of_case(case))
    given = tuple(day.given() for day in days)
    return {
        day.on: session_state(
            day,
            baseline=baseline(given, before=day.on),
            policy=program.rule,
            usual_night_wakings=usual,
        )
        for day in given
        if day.trained
    }


def _usual_wakings(intake: Intake) -> int | None:
    """The intake counts nights a week; one waking on such a night is then nothing new."""
    return None if intake.nights_woken is None else min(intake.nights_woken, 1)
