"""What the rules need, gathered from the records of a case."""

import datetime
from collections.abc import Iterable, Iterator
from functools import cached_property

from django.utils import timezone

from assessments.clinical.pain import Context
from assessments.course import Course
from assessments.lines import Moments
from cases.clinical.screening import Question, deferred, open_items
from cases.clinical.years import age_on
from cases.models import Battery, Case, Finding, Injection, Intake, Screening, Visit
from clinic.wording import Sentence, say
from rehab.clinical.arm import ArmToday
from rehab.clinical.ladder import Entry, EntryFindings, Irritability, Stage, enter
from rehab.clinical.returning import INTERVAL_STEPS, LIFTING
from rehab.clinical.sessions import Reading, baseline, session_state
from rehab.clinical.thresholds import Limits
from rehab.models import DiaryDay, Program, StageCheck, ThresholdChange

# Enough days to hold the mornings that a day is compared with.
LOOK_BACK = 8
LONGEST_LOOK_BACK = datetime.timedelta(days=120)  # further back, the diary decides nothing


class Records:
    """What is on record about a case; each thing is fetched once, however many parts of a page ask."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._checks: dict[int, StageCheck] = {}

    def check_at(self, visit: Visit) -> StageCheck:
        """The stage check of a visit."""
        if visit.pk not in self._checks:
            self._checks[visit.pk] = StageCheck.at(visit)
        return self._checks[visit.pk]

    @cached_property
    def limits(self) -> Limits:
        """What the case is judged by: the printed thresholds with the clinic's own in their place."""
        return ThresholdChange.objects.limits(self.case.clinic_id)

    @cached_property
    def intake(self) -> Intake:
        return Intake.of_case(self.case)

    @cached_property
    def screening(self) -> Screening | None:
        return Screening.objects.latest_of(self.case)

    @cached_property
    def rounds(self) -> tuple[Battery | None, Battery | None]:
        """The last round of the battery that holds anything, and the one before it."""
        return Battery.objects.last_two_of(self.case)

    @cached_property
    def first_and_last(self) -> tuple[Battery | None, Battery | None]:
        """The first round of the battery that holds anything, and the last one."""
        return Battery.objects.first_and_last_of(self.case)

    @property
    def battery(self) -> Battery | None:
        return self.rounds[0]

    @cached_property
    def injections(self) -> list[Injection]:
        return list(self.case.injections.all())

    @cached_property
    def diary(self) -> list[DiaryDay]:
        return list(DiaryDay.objects.of_case(self.case))

    @property
    def usual_night_wakings(self) -> int | None:
        """The intake counts nights a week; one waking on such a night is then nothing new."""
        nights = self.intake.nights_woken
        return None if nights is None else min(nights, 1)

    @property
    def other_side_sore(self) -> bool | None:
        """Whether the other elbow is no yardstick, by the newest round of the battery."""
        return self.case.other_side_sore(self.findings)

    @cached_property
    def findings(self) -> list[Finding]:
        """Those of the newest round of the battery that has any."""
        return list(Battery.objects.findings_of_latest(self.case))

    def findings_at(self, visit: Visit) -> list[Finding]:
        """Those of a visit, where its round is the newest."""
        return [finding for finding in self.findings if finding.battery.visit_id == visit.pk]

    @property
    def red_flags(self) -> tuple[Sentence, ...]:
        """What the newest screening found that must be acted on first."""
        found = open_items(self.screening.given()) if self.screening else ()
        words = "Screening: %(condition)s. What was done about it is not written down."
        return tuple(say(words, condition=item.condition) for item in found)


def _pain(course: Course, context: Context, otherwise: int | None) -> int | None:
    """The newest rating of a visit, or what the intake said."""
    found = [visit.pains[context] for visit in course.visits if context in visit.pains]
    return found[-1] if found else otherwise


def entry(
    case: Case, course: Course, *, on: datetime.date, records: Records | None = None
) -> Entry:
    """Where the ladder is entered, and why; measures of visits come before the intake's."""
    records = records or Records(case)
    intake, prtee = records.intake, course.line("prtee").points
    return enter(
        EntryFindings(
            age=age_on(case.patient.born, today=on),
            rest_pain=_pain(course, Context.AT_REST, intake.rest_pain),
            worst_pain=_pain(course, Context.WORST_24H, intake.worst_pain),
            night_wakings_a_week=intake.nights_woken,
            lasts_over_24_h=intake.lasts_over_24_h,
            prtee=prtee[-1].value if prtee else None,
        ),
        limits=records.limits,
    )


def is_highly_irritable(case: Case, course: Course, *, on: datetime.date, limits: Limits) -> bool:
    """Whether the newest measures speak of high irritability; the nights of the intake are history by now."""
    prtee = course.line("prtee").points
    found = EntryFindings(
        age=age_on(case.patient.born, today=on),
        rest_pain=_pain(course, Context.AT_REST, None),
        worst_pain=_pain(course, Context.WORST_24H, None),
        night_wakings_a_week=None,
        lasts_over_24_h=None,
        prtee=prtee[-1].value if prtee else None,
    )
    return enter(found, limits=limits).irritability is Irritability.HIGH


def reasons_not_to_issue(
    case: Case, *, on: datetime.date | None = None, records: Records | None = None
) -> tuple[Sentence, ...]:
    """Sentences that stop a program from being issued; none when case, age and screening allow it."""
    age = age_on(case.patient.born, today=on or timezone.localdate())
    young = enter(
        EntryFindings(
            age=age,
            rest_pain=None,
            worst_pain=None,
            night_wakings_a_week=None,
            lasts_over_24_h=None,
        )
    )
    return (
        *(() if case.is_open else (say("This case is closed."),)),
        *(young.reasons if young.blocked else ()),
        *screening_reasons(records or Records(case)),
    )


def screening_reasons(records: Records) -> tuple[Sentence, ...]:
    """Those of the screening alone: it was not asked yet, or an answer waits for what is done about it."""
    if records.screening is None:
        return (say("The screening has not been asked yet."),)
    return records.screening.may_issue()[1]


def put_off(records: Records) -> tuple[Question, ...]:
    """The questions of the last screening whose answer puts something off that a program may ask."""
    return deferred(records.screening.given()) if records.screening else ()


def _start(found: Moments) -> float | None:
    """The first value, unless it is today's: nothing can be compared with itself."""
    return None if found.last is None else found.start


def usual_morning_pain(course: Course, program: Program) -> int | None:
    """The newest rating of a morning up to the day of issue: what the first diary days are set against."""
    began = timezone.localdate(program.issued_at)
    found = [
        visit.pains[Context.NEXT_MORNING]
        for visit in course.visits
        if visit.on <= began and Context.NEXT_MORNING in visit.pains
    ]
    return found[-1] if found else None


def arm_today(
    visit: Visit, program: Program, course: Course, *, records: Records | None = None
) -> ArmToday:
    """The arm on the day of a visit, under the program that it has been doing.

    What was not measured, asked or written down is None, and no criterion holds by it.
    """
    case, today, main = visit.case, visit.on, program.main
    records = records or Records(case)
    check = records.check_at(visit)
    sore = check.other_side_sore
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
        diary=tuple(
            day.given() for day in records.diary if today - LONGEST_LOOK_BACK <= day.on <= today
        ),
        repetitions_asked=main.repetitions,
        hold_s_asked=main.hold_s,
        load_kg=program.load_kg,
        start_load_kg=program.start_load_kg,
        days_since_load_step=(today - program.load_since).days,
        smallest_step_kg=program.smallest_step_kg,
        owned_kg=program.owned_kg,
        rm_band=main.repetitions if heavy else None,
        days_back=program.days_back(on=today),
        fast_work=any(exercise.card == "ball-pass" for exercise in program.exercises.all()),
        job_is_light=check.job_is_light,
        red_flags=records.red_flags,
        usual_morning_pain=usual_morning_pain(course, program),
        usual_night_wakings=records.usual_night_wakings,
        grip_start_n=_start(grip.affected_n),
        grip_last_n=grip.affected_n.last,
        grip_today_n=grip.affected_n.today,
        grip_ratio=grip.ratio.today,
        other_side_sore=records.other_side_sore if sore is None else sore,
        prtee_start=_start(prtee),
        prtee_last=prtee.last,
        prtee_today=prtee.today,
        rest_pain=course.moments("pain_at_rest").today,
        worst_pain_start=records.intake.worst_pain if _start(worst) is None else worst.start,
        worst_pain_today=worst.today,
        test_lift_pain=check.test_lift_pain,
        return_steps_done=check.return_steps_done,
        return_steps_asked=len(program.return_steps) or len(INTERVAL_STEPS),
        return_is_lifting=program.return_plan == LIFTING,
        own_goal_met=check.own_goal_met,
    )


def readings(records: Records, program: Program, course: Course) -> dict[datetime.date, Reading]:
    """How the arm took each session under a program, by day, judged as the proposal judges it."""
    issued = timezone.localdate(program.issued_at)
    usual = usual_morning_pain(course, program)
    return {
        day.on: _reading(records, place, program, usual)
        for place, day in enumerate(records.diary)
        if day.on >= issued and day.sets_done > 0
    }


def read_days(
    records: Records, programs: Iterable[Program], course: Course
) -> Iterator[tuple[DiaryDay, Reading]]:
    """Each day of the diary with how the arm took it, by the program that it belongs to."""
    by_key = {one.pk: (one, usual_morning_pain(course, one)) for one in programs}
    for place, day in enumerate(records.diary):
        if day.program_id in by_key:
            yield day, _reading(records, place, *by_key[day.program_id])


def _reading(records: Records, place: int, program: Program, usual: int | None) -> Reading:
    """How the arm took a diary day; `usual` is a morning's pain where no earlier day tells it."""
    day = records.diary[place].given()
    earlier = tuple(row.given() for row in records.diary[max(0, place - LOOK_BACK) : place])
    before = baseline(earlier, before=day.on, limits=records.limits)
    return session_state(
        day,
        baseline=usual if before is None else before,
        policy=program.rule,
        usual_night_wakings=records.usual_night_wakings,
        limits=records.limits,
    )
