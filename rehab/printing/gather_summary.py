"""From the records of a case to what its course summary says."""

import datetime
from collections.abc import Iterator
from dataclasses import replace

from django.utils import timezone, translation
from django.utils.translation import gettext

from assessments.chart_words import change_of, figure_of
from assessments.charting import chart_of, on_dial
from assessments.charts import Chart, Span
from assessments.clinical.measures import FORCES
from assessments.course import course_of, measured_visits
from assessments.lines import Line
from cases.models import Case, Visit
from clinic.templatetags.clinic_tags import number, written
from clinic.templatetags.clinic_tags import say as translated
from clinic.wording import Sentence, gettext_noop, say
from rehab.clinical.gate_words import in_plain_words
from rehab.clinical.ladder import Stage, stage_row
from rehab.clinical.proposal import Decision as Verdict
from rehab.clinical.proposal import LoadStep
from rehab.clinical.thresholds import Limits
from rehab.inputs import Records
from rehab.models import Decision, Program
from rehab.whole_course import Part, WholeCourse

from .gather import ELBOWS, about, next_visit, pain_limits
from .gather_found import screened, tested, why
from .summary import CourseSummary
from .summary_facts import Measured, MeasureRow, Plan, Signed, Work

# The total of the questionnaire stands for its parts.
PARTS = ("prtee_pain", "prtee_function")
# What leads and is drawn: the first of each that has a value.
LEADING = (
    ("pain_on_gripping", "pain_worst_24h", "pain_at_rest"),
    ("grip_pain_free", "grip_maximal"),
)
SORE = gettext_noop("not compared: other elbow sore too")
DECIDED = {
    (Verdict.MOVE_UP, None): say("you move up one stage."),
    (Verdict.STAY, LoadStep.ADD): say("you stay in this stage and do a little more."),
    (Verdict.STAY, LoadStep.KEEP): say("you stay in this stage with the same load."),
    (Verdict.STAY, LoadStep.REDUCE): say("you stay in this stage and do less for now."),
    (Verdict.STEP_BACK, None): say("you go one stage back."),
    (Verdict.STOP_AND_REVIEW, None): say("the program stops, and we look at your arm again."),
}


def summary(case: Case, *, now: datetime.datetime) -> CourseSummary:
    """Everything the summary of a case says, as it stands `now`, in the patient's language."""
    with translation.override(case.patient.language):
        return _summary(case, now=now)


def _summary(case: Case, *, now: datetime.datetime) -> CourseSummary:
    records = Records(case)
    in_order = measured_visits(case)
    visits = in_order[::-1]
    programs = list(Program.objects.of_case(case).issued().with_exercises())
    program = next((one for one in programs if one.ended_at is None), None)
    whole = WholeCourse.of_case(
        case, course_of(case, visits=in_order), records=records, programs=programs
    )
    _first, latest = records.first_and_last
    records.findings = list(latest.findings.all()) if latest else []
    return CourseSummary(
        **about(case.clinic, case.patient, now=now),
        born=case.patient.born,
        elbow=ELBOWS[case.affected],
        since=visits[-1].on if visits else None,
        until=visits[0].on if visits else None,
        visits=len(visits),
        moved=tuple(moved(whole, stage=program.rung if program else None)),
        why=why(records),
        round=tested(records),
        screened=screened(records),
        measured=measured(whole, sore=bool(records.other_side_sore)) if whole.lines else None,
        work=_work(program, records.limits) if program else None,
        plan=_plan(case, program, now=now, limits=records.limits),
        signed=_signed(case, visits),
    )


def _leading(whole: WholeCourse) -> Iterator[Part]:
    by_key = {part.key: part for part in whole.parts}
    for keys in LEADING:
        yield from [by_key[key] for key in keys if key in by_key][:1]


def moved(whole: WholeCourse, *, stage: Stage | None) -> Iterator[Sentence]:
    """What moved, in the patient's words, and the stage."""
    yield from (part.told[0] for part in _leading(whole))
    if stage:
        yield say("You are in stage %(stage)s of 5.", stage=int(stage))


def measured(whole: WholeCourse, *, sore: bool) -> Measured:
    """Every measure but the parts of a score, in the unit of the dial, and two charts.

    Where the other elbow is `sore` too, it is no yardstick for the ratio of the grips.
    """
    parts = [part for part in whole.parts if part.key not in PARTS]
    once = [part for part in parts if len(part.line.points) == 1 and not part.line.is_change]
    charts = tuple(_charts(whole))
    return Measured(
        on=whole.last_day,
        rows=tuple(_compared(part, whole, sore=sore) for part in parts if part not in once),
        once=tuple(_row(part, whole) for part in once),
        charts=charts,
        captions=tuple(_captions(charts, whole)),
    )


def _row(part: Part, whole: WholeCourse) -> MeasureRow:
    """A measure with its newest value and its day."""
    point = part.line.points[-1]
    return MeasureRow(
        name=_name(part.line, whole),
        now=figure_of(point.value, part.line, dial=whole.unit),
        days=written(point.on),
    )


def _compared(part: Part, whole: WholeCourse, *, sore: bool) -> MeasureRow:
    line, known = part.line, [row for row in part.reached if row.since_start is not None]
    first, newest = line.points[0], line.points[-1]
    no_yardstick = sore and part.key == "grip_ratio"
    usual = (first.on, newest.on) == (whole.around.since, whole.last_day) or line.is_change
    return replace(
        _row(part, whole),
        start="" if line.is_change else figure_of(first.value, line, dial=whole.unit),
        change=translated(SORE) if no_yardstick else change_of(line, dial=whole.unit),
        days="" if usual else f"{written(first.on)} – {written(newest.on)}",
        reached=sum(row.since_start for row in known),
        published=len(known),
    )


def _name(line: Line, whole: WholeCourse) -> str:
    """The measure with its range or its unit."""
    measure, name = line.measure, translated(line.measure.name)
    if measure.unit == "N":
        return f"{name}, {translated(whole.unit.shown)}"
    if measure.high is None:
        return f"{name}, {translated(measure.unit)}" if measure.unit else name
    ends = {"low": number(measure.low), "high": number(measure.high)}
    between = gettext("%(low)s to %(high)s") if measure.low < 0 else "%(low)s–%(high)s"
    return f"{name}, {between % ends}"


def _charts(whole: WholeCourse) -> Iterator[Chart]:
    """The leading measures with stages, marks and error alone: what is asked of them is said in the plan."""
    around = replace(whole.around, targets={}, waited=(), spans=_in_plain_words(whole))
    for part in _leading(whole):
        if len(part.line.points) > 1:
            drawn = chart_of(whole.course, part.key, around=around, alone=False)
            plain = replace(drawn, slope=None)
            yield on_dial(plain, whole.unit) if part.key in FORCES else plain


def _in_plain_words(whole: WholeCourse) -> tuple[Span, ...]:
    """The stages by what is done in them, as the home program names them, not by the kind of exercise."""
    spans = whole.around.spans
    aims = (translated(stage_row(Stage(int(span.short))).aim).lower() for span in spans)
    return tuple(replace(span, label=aim) for span, aim in zip(spans, aims, strict=True))


def _captions(charts: tuple[Chart, ...], whole: WholeCourse) -> Iterator[str]:
    """What the shades, lines and marks are: not every drawing has room for the words."""
    names = "; ".join(f"{span.short} {span.label}" for span in _in_plain_words(whole))
    if names:
        yield gettext("Stages: %(stages)s.") % {"stages": names}
    if any(chart.error for chart in charts):
        yield gettext("Band: within error.")
    if any(chart.beside for chart in charts):
        yield gettext("Dashed line: the other side.")


def _work(program: Program, limits: Limits) -> Work:
    return Work(
        version=program.version,
        stage=program.stage,
        aim=stage_row(program.rung).aim,
        since=program.stage_since,
        limits=pain_limits(program, limits),
        exercises=tuple(
            (row.of_card.name, row.dose.headline(), row.dose.how_often())
            for row in program.exercises.all()
        ),
    )


def _plan(case: Case, program: Program | None, *, now: datetime.datetime, limits: Limits) -> Plan:
    if not case.is_open:
        why = ", ".join(filter(None, (case.get_status_display(), case.discharge_reason)))
        closed = gettext("This case was closed on %(day)s: %(why)s")
        return Plan(closed=closed % {"day": written(case.closed), "why": why})
    made = Decision.objects.of_case(case).first()
    waits = _waits(made, program)
    return Plan(
        decided=_decided(made) if made else "",
        decided_on=made.visit.on if made else None,
        next_visit=next_visit(case, now=now),
        due_on=case.due_on,
        overdue=bool(case.due_on) and case.due_on < timezone.localdate(now),
        waits_title=waits_title(program.rung) if waits else "",
        waits=waits,
        changes=tuple(what_would_change(program.rung, limits)) if program else (),
    )


def _decided(made: Decision) -> Sentence:
    verdict = Verdict(made.made)
    step = LoadStep(made.made_step) if verdict is Verdict.STAY else None
    return DECIDED[verdict, step]


def _waits(made: Decision | None, program: Program | None) -> tuple[Sentence, ...]:
    """What the stage still waited for; a decision about another stage says nothing about this one."""
    if not made or not program or made.program.stage != program.stage:
        return ()
    rows = made.as_proposed().criteria
    return tuple(in_plain_words(row) for row in rows if row.about == "stage" and not row.held)


def waits_title(stage: Stage) -> Sentence:
    if stage.above is None:
        return say("Still to reach before you are done:")
    return say("Still to reach for stage %(stage)s:", stage=int(stage.above))


def what_would_change(stage: Stage, limits: Limits) -> Iterator[Sentence]:
    """What leads a stage back, and when somebody looks again."""
    if stage is not Stage.ISOMETRIC:
        yield say(
            "%(sessions)s sessions too much in a week, or new waking on %(nights)s nights: you go one "
            "stage back.",
            sessions=int(limits["reds_for_stage_back"].value),
            nights=int(limits["nights_for_stage_back"].value),
        )
    yield say(
        "No real change after %(review)s weeks: we look at the plan again. After %(again)s weeks we "
        "examine you again. After %(refer)s weeks we refer you.",
        review=int(limits["review_weeks"].value),
        again=int(limits["re_examine_weeks"].value),
        refer=int(limits["refer_weeks"].value),
    )


def _signed(case: Case, visits: list[Visit]) -> Signed:
    last = next((visit for visit in visits if visit.is_signed), None)
    draft = next((visit for visit in visits[:1] if not visit.is_signed), None)
    return Signed(
        lead=str(case.lead),
        registration=case.lead.registration_number,
        last_on=last.on if last else None,
        last_by=last.signed_name if last else "",
        draft_on=draft.on if draft else None,
    )
