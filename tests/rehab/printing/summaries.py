"""A course summary to print: the usual one, the longest, and what patients read in it."""

import datetime
import re
from dataclasses import replace
from itertools import pairwise

from django.utils import translation

from assessments.charting import Around
from assessments.charts import Mark, MarkKind, Span
from assessments.clinical.force import Unit
from assessments.clinical.pain import Context
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_STRAIGHT
from assessments.course import Course
from assessments.course import Measured as Taken
from cases.clinical.screening_questions import QUESTIONS
from cases.clinical.sides import Handedness, Side
from clinic.templatetags.clinic_tags import say as translated
from clinic.wording import say
from rehab.clinical.dose import Dose
from rehab.clinical.gate_words import WORDS
from rehab.clinical.ladder import Stage
from rehab.clinical.proposal import Decision, LoadStep
from rehab.clinical.thresholds import DEFAULTS
from rehab.printing.gather_summary import (
    DECIDED,
    measured,
    moved,
    waits_title,
    what_would_change,
)
from rehab.printing.summary import CourseSummary
from rehab.printing.summary_facts import Flag, Plan, Round, Screened, Signed, Spot, Why, Work
from rehab.whole_course import WholeCourse
from tests.rehab.printing.sheets import CLINIC, LIMITS, TODAY, VISIT

FIRST, SECOND, LAST = (datetime.date(2026, *day) for day in ((1, 8), (2, 5), (3, 11)))
WHY = Why(
    began=datetime.date(2025, 11, 16),
    manner="came on gradually",
    provoked=("gripping", "using tools", "lifting with the palm down"),
    occupation="boat builder",
    sport="rowing",
    wants=("caulk a deck", "row to the mooring", "lift the toolbox"),
)
ROUND = Round(
    on=LAST,
    performed="",
    resting_pain=1,
    done=5,
    hurt=4,
    other_side=0,
    spots=(
        Spot(test="Passive stretch, elbow straight", now=2, first=4),
        Spot(test="Resisted wrist extension", now=4, first=6),
        Spot(test=say("%(test)s, middle finger", test="Resisted extension of one finger"), now=3, first=5),
        Spot(test="Palpation of the common extensor origin", now=0, first=6),
    ),
    first_on=FIRST,
)  # fmt: skip
INJECTED = Flag(
    condition="corticosteroid injection",
    known=True,
    note="one, by the family doctor",
    defers="maximal grip and heavy load for the first weeks",
    must_act=False,
)
LOCKING = Flag(condition=QUESTIONS[10].condition, known=True, note="", defers="", must_act=True)
ASKED = Screened(on=FIRST, asked=21, left=0, flags=())


def taken(on: datetime.date, *, pain: int, grip_n: float, item: int, **single: int) -> Taken:
    """What one visit measured: pains, grip of both sides, the questionnaire, tasks, and single numbers."""
    forces = {Side.RIGHT: (grip_n,) * 3, Side.LEFT: (451.0,) * 3}
    most_n = {(MAXIMAL_BENT, Side.RIGHT): (284.0,)} if on == FIRST else {}
    return Taken(
        visit=on.toordinal(),
        on=on,
        affected=Side.RIGHT,
        pains={Context.ON_GRIPPING: pain, Context.WORST_24H: pain + 1, Context.AT_REST: pain // 2},
        forces_n={(PAIN_FREE_STRAIGHT, side): trials for side, trials in forces.items()} | most_n,
        answers={number: item for number in range(1, 16)},
        activities={1: 9 - pain, 2: 8 - pain},
        single=single,
    )


COURSE = Course(
    affected=Side.RIGHT,
    handedness=Handedness.RIGHT,
    visits=(
        taken(FIRST, pain=6, grip_n=208, item=4, time_off_work=6),
        taken(SECOND, pain=4, grip_n=280, item=3, time_off_work=0, global_rating=1),
        taken(LAST, pain=3, grip_n=346, item=2, time_off_work=0, global_rating=2),
    ),
    activity_names={1: "caulk a deck", 2: "row to the mooring"},
)


def whole_course(course: Course = COURSE) -> WholeCourse:
    """The course in the language in force: stages 1 to 3, and one session that was too much."""
    began = (FIRST, datetime.date(2026, 1, 26), datetime.date(2026, 2, 20), None)
    spans = tuple(
        Span(label=translated(Stage(stage).label), short=str(stage), since=since, until=until)
        for stage, (since, until) in enumerate(pairwise(began), start=1)
    )
    flare = Mark(day=SECOND, kind=MarkKind.FLARE, label=translated("too much"))
    until = course.visits[-1].on
    around = Around(spans=spans, marks=(flare,), since=FIRST, until=until)
    return WholeCourse(course=course, around=around, unit=Unit.KGF)


LIFT = Dose(sets=3, repetitions=12, load_kg=3.1, days_per_week=3)
TURN = Dose(sets=3, repetitions=15, days_per_week=3)
WORK = Work(
    version=8,
    stage=3,
    aim="Stronger: elbow straight, rotation",
    since=datetime.date(2026, 2, 20),
    limits=LIMITS,
    exercises=(
        ("Straight-arm wrist lift", LIFT.headline(), LIFT.how_often()),
        ("Turn palm up, palm down", TURN.headline(), TURN.how_often()),
        ("Thumb-up lift", TURN.headline(), TURN.how_often()),
        ("Row", TURN.headline(), TURN.how_often()),
    ),
)
PLAN = Plan(
    decided=DECIDED[Decision.STAY, LoadStep.ADD],
    decided_on=LAST,
    next_visit=VISIT,
    due_on=datetime.date(2026, 3, 27),
    waits_title=waits_title(Stage.SLOW_RESISTANCE),
    waits=(say(WORDS["stage_3_days"], days=21), say(WORDS["ratio_for_heavy"], percent=80)),
    changes=tuple(what_would_change(Stage.SLOW_RESISTANCE, DEFAULTS)),
)
CLOSED = "This case was closed on 11 Mar 2026: discharged, goals met"
# All that a stage may wait for, and all that may have been decided.
GATES = tuple(
    say(words, **dict.fromkeys(re.findall(r"%\((\w+)\)s", words), 12)) for words in WORDS.values()
)
DECISIONS = " ".join(map(str, DECIDED.values()))
# What patients read: the usual, answers to act on, every gate and decision, and after the case.
FOR_PATIENTS = (
    {},
    {"screened": replace(ASKED, flags=(INJECTED, LOCKING)), "work": None},
    {"plan": replace(PLAN, waits=GATES, decided=DECISIONS, next_visit=None)},
    {"plan": Plan(closed=CLOSED)},
)
SIGNED = Signed(lead="Ida Solvang", registration="PH-1001", last_on=LAST, last_by="Ida Solvang")


NOTHING = dict(
    since=None, until=None, visits=0, moved=(), why=Why(began=FIRST), round=None, screened=None,
    measured=None, work=None, plan=Plan(), signed=replace(SIGNED, last_on=None, last_by=""),
)  # fmt: skip
# What takes other sentences than the usual summary.
OTHERS = (
    NOTHING,
    {
        "sore": True,
        "round": replace(ROUND, other_side=2, elsewhere=(("Resisted supination", "new tingling"),)),
        "screened": replace(
            ASKED, left=2, flags=(LOCKING, replace(INJECTED, note="", known=False))
        ),
        "work": None,
        "plan": replace(PLAN, waits=GATES, next_visit=None, overdue=True),
        "signed": replace(SIGNED, registration="", draft_on=TODAY),
    },
    {"course": replace(COURSE, visits=COURSE.visits[:1]), "until": FIRST},
)


def a_summary(*, course: Course = COURSE, sore: bool = False, **changes) -> CourseSummary:
    """A course in stage 3, told in the sheet's language, but for `changes`."""
    with translation.override(changes.get("language", "en")):
        whole = whole_course(course)
        told = dict(
            moved=tuple(moved(whole, stage=Stage.SLOW_RESISTANCE)),
            measured=measured(whole, sore=sore),
        )
    usual = dict(
        clinic=CLINIC,
        patient="Marit Oyelaran",
        record="0217",
        born=datetime.date(1984, 6, 2),
        elbow="Right elbow",
        language="en",
        on=TODAY,
        since=FIRST,
        until=LAST,
        visits=8,
        why=WHY,
        round=ROUND,
        screened=ASKED,
        work=WORK,
        plan=PLAN,
        signed=SIGNED,
    )
    return CourseSummary(**(usual | told | changes))


def at_its_longest() -> dict[str, object]:
    """As much of everything as the records allow: an answer to act on at every question."""
    flag = replace(LOCKING, note="x y " * 75, done="z z " * 75, done_on=FIRST)
    taken_all = a_summary().measured
    crates = ("Lift the crate again. " * 5,) * 5
    return dict(
        why=replace(WHY, occupation="w " * 60, sport="s " * 60, wants=crates),
        round=replace(ROUND, elsewhere=(("Resisted supination", "weak, without pain"),) * 6),
        screened=replace(ASKED, flags=(flag,) * 21),
        measured=replace(taken_all, rows=taken_all.rows * 2, once=taken_all.once * 4),
        work=replace(WORK, exercises=WORK.exercises * 3),
        plan=replace(PLAN, waits=GATES, next_visit=None),
        signed=replace(SIGNED, draft_on=TODAY),
    )
