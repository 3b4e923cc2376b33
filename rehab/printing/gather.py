"""From records to what the sheets say."""

import datetime
import math
from collections.abc import Iterable

from django.db.models import Q
from django.utils import timezone, translation

from cases.clinical.sides import Side
from cases.invitation import short_invitation
from cases.models import Appointment, Case, Patient
from clinic.evidence import Status
from clinic.models import Clinic, Logo
from clinic.wording import say
from rehab.clinical.ladder import stage_row
from rehab.clinical.positions import start_and_end
from rehab.clinical.returning import LIFTING
from rehab.clinical.thresholds import DEFAULTS, Limits
from rehab.clinical.week_plan import WEEK, days_said
from rehab.models import Program, ProgramExercise

from .advice import PainLimits
from .diary_page import MOST_DAYS, USUAL_DAYS, DiaryPage
from .fonts import UNREACHED, CannotPrint
from .home_program import HomeExercise, HomeProgram, NextVisit
from .paper import A4, LARGE, LETTER, NORMAL, ClinicContact, Paper
from .pieces import Words
from .return_plan import ReturnPlan
from .scan_code import MOST_OCTETS

ELBOWS = {Side.RIGHT: say("Right elbow"), Side.LEFT: say("Left elbow")}
PAGES = {Clinic.PaperSize.A4: A4, Clinic.PaperSize.LETTER: LETTER}


def home_program(
    program: Program, *, now: datetime.datetime, limits: Limits = DEFAULTS
) -> HomeProgram:
    """Everything the home program of an issued program says."""
    case = program.case
    return HomeProgram(
        **about_program(program, now=now),
        stage=program.stage,
        stage_words=stage_row(program.rung).aim,
        limits=pain_limits(program, limits),
        review_weeks=round(limits["review_weeks"].value),
        exercises=_exercises(program),
        remark=program.remark,
        next_visit=next_visit(case, now=now),
        training_days=training_days(program),
        issued_by=str(program.issued_by),
        registration_number=program.issued_by.registration_number,
        issued_on=timezone.localdate(program.issued_at),
    )


def diary_page(program: Program, *, now: datetime.datetime, limits: Limits = DEFAULTS) -> DiaryPage:
    """The diary for the main exercise, with a tick for the others, from today until the next visit."""
    case, main = program.case, program.main
    with translation.override(case.patient.language):
        exercise, *others = (row.of_card.name for row in program.exercises.all())
    today, visit = timezone.localdate(now), next_visit(case, now=now)
    return DiaryPage(
        **about_program(program, now=now),
        exercise=exercise,
        others=tuple(others),
        headline=main.dose.headline(),
        how_often=main.dose.how_often(),
        training_days=days_of(program, main),
        sets=main.sets * main.sessions_per_day,
        holds=main.repetitions is None,
        limits=pain_limits(program, limits),
        next_visit=visit,
        first_day=today,
        days=days_until(visit, today=today),
    )


def return_plan(
    program: Program, *, now: datetime.datetime, limits: Limits = DEFAULTS
) -> ReturnPlan:
    """The return plan of an issued program; it begins at its first step."""
    return ReturnPlan(
        **about_program(program, now=now),
        steps=program.return_steps,
        next_step=program.return_step or 1,
        job_kg=program.job_load_kg if program.return_plan == LIFTING else None,
        limits=pain_limits(program, limits),
    )


def about_program(program: Program, *, now: datetime.datetime) -> dict[str, object]:
    """What stands on every sheet of a program: whose it is, of which day and version."""
    told = about(program.clinic, program.case.patient, now=now)
    return told | {"elbow": ELBOWS[program.case.affected], "version": program.version}


def about(clinic: Clinic, patient: Patient, *, now: datetime.datetime) -> dict[str, object]:
    """What stands on every sheet for a patient."""
    return {
        "clinic": reached_at(clinic),
        "patient": str(patient),
        "record": patient.record,
        "language": patient.language,
        "on": timezone.localdate(now),
    }


def reached_at(clinic: Clinic) -> ClinicContact:
    """What heads a sheet that leaves the house. Raises CannotPrint while it could not say whom to call."""
    if not clinic.can_be_reached:
        raise CannotPrint(UNREACHED)
    return contact(clinic)


def contact(clinic: Clinic) -> ClinicContact:
    return ClinicContact(
        name=clinic.name,
        address=clinic.address,
        phone=clinic.phone,
        emergency_phone=clinic.emergency_phone,
        page=PAGES[clinic.paper],
        logo=Logo.objects.picture_of(clinic),
    )


def paper_of(patient: Patient) -> Paper:
    """The clinic's paper in the patient's print size."""
    large = patient.print_size == patient.PrintSize.LARGE
    return Paper(page=PAGES[patient.clinic.paper], body=LARGE if large else NORMAL)


def paper_for(program: Program) -> Paper:
    return paper_of(program.case.patient)


def next_visit(case: Case, *, now: datetime.datetime) -> NextVisit | None:
    """The next booking of the case, or one of the patient that names no case."""
    theirs = Q(case=case) | Q(case=None, patient=case.patient)
    coming = Appointment.objects.coming(after=now).filter(theirs)
    visit = coming.with_people().in_order().first()
    if visit is None:
        return None
    visit.clinic = case.clinic
    return booked_visit(visit, now=now)


def booked_visit(
    booked: Appointment, *, now: datetime.datetime, with_entry: bool = True
) -> NextVisit:
    """A booking as a patient's sheet tells it, with its entry for a calendar."""
    starts = timezone.localtime(booked.starts_at)
    return NextVisit(
        on=starts.date(),
        at=starts.time(),
        practitioner=str(booked.practitioner),
        entry=short_invitation(booked, now=now, octets=MOST_OCTETS) if with_entry else b"",
    )


def days_until(visit: NextVisit | None, *, today: datetime.date) -> int:
    """Whole weeks until the next visit, at most six; two weeks where none is booked."""
    if visit is None:
        return USUAL_DAYS
    weeks = math.ceil(max(1, (visit.on - today).days) / WEEK)
    return min(weeks * WEEK, MOST_DAYS)


def pain_limits(program: Program, limits: Limits) -> PainLimits:
    """The program's pain policy in whole points: a rise of 1.5 is met by a whole number from 2.

    A clinic's own value has the clinic as its source, not who printed another.
    """
    policy = program.rule.pain_limits(limits)
    low, high = policy.green_ceiling, policy.red_floor
    sources = dict.fromkeys(
        row.source if row.printed is None else program.clinic.name for row in (low, high)
    )
    return PainLimits(
        settled_up_to=math.floor(low.value),
        too_much_from=math.ceil(high.value),
        morning_watch=math.ceil(limits["morning_watch_rise"].value),
        morning_too_much=math.ceil(limits["morning_red_rise"].value),
        source=listed(sources),
        status=_weaker(low.status, high.status),
    )


def listed(sources: Iterable[Words]) -> Words:
    """Sources in one, each still to be translated."""
    first, *others = sources
    return say("%(first)s; %(others)s", first=first, others=listed(others)) if others else first


def _weaker(one: Status, other: Status) -> Status:
    """Two figures together are known no better than the weaker of them."""
    return max(one, other, key=list(Status).index)


def _exercises(program: Program) -> tuple[HomeExercise, ...]:
    """The exercises in the words that they were issued with, in the patient's language."""
    case = program.case
    with translation.override(case.patient.language):
        return tuple(
            _exercise(row, case.affected, days_of(program, row)) for row in program.exercises.all()
        )


def training_days(program: Program) -> Words:
    """The days that the patient can train, or nothing where that is every day."""
    return "" if len(program.weekdays) == WEEK else program.training_days


def days_of(program: Program, row: ProgramExercise) -> Words:
    """On which of the days an exercise is best done; nothing where the patient can train on all seven."""
    if len(program.weekdays) == WEEK:
        return ""
    planned = dict(
        zip((one.card for one in program.exercises.all()), program.week.rows, strict=True)
    )
    days = planned[row.card].days
    return say("Best on %(days)s.", days=days_said(days)) if days else ""


def _exercise(row: ProgramExercise, side: Side, days: Words) -> HomeExercise:
    card, dose = row.of_card, row.dose
    return HomeExercise(
        name=card.name,
        headline=dose.headline(),
        dose=(*dose.lines(), *((days,) if days else ())),
        start=card.start,
        steps=card.steps,
        usual_mistake=card.usual_mistake,
        caution=card.caution,
        equipment=card.equipment,
        remark=row.remark,
        positions=start_and_end(card.code, side),
    )
