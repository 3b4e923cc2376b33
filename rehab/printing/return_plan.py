"""The return plan on one page: every step, the next one marked, and when to go on, repeat or stop."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext
from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from clinic.evidence import Status
from clinic.templatetags.clinic_tags import number, say
from rehab.clinical.lifting import LiftingStep
from rehab.clinical.returning import REST_AFTER_TWO_GAMES_S, SOURCE, STATUS, IntervalStep

from . import advice
from .advice import PainLimits
from .fonts import REGULAR
from .marks import Blank
from .paper import Paper, Running, Sheet, Styles, pdf, room, styles
from .pieces import (
    INK,
    RULE,
    Words,
    beside,
    bullets,
    fits_beside,
    markup,
    name,
    para,
    together,
    unbroken,
)

NEXT = HexColor("#e3e3df")


@dataclass(frozen=True, kw_only=True)
class ReturnPlan(Sheet):
    """Everything the printed plan says. `next_step` is one of the steps; raises ValueError for another."""

    elbow: Words
    language: str
    version: int
    steps: tuple[IntervalStep, ...] | tuple[LiftingStep, ...]
    next_step: int
    job_kg: float | None
    limits: PainLimits

    def __post_init__(self) -> None:
        if not 1 <= self.next_step <= len(self.steps):
            raise ValueError(f"step {self.next_step} is not in the plan")

    @property
    def lifts(self) -> bool:
        return isinstance(self.steps[0], LiftingStep)

    @property
    def title(self) -> str:
        return gettext("Graded lifting") if self.lifts else gettext("Interval racket program")


def return_plan_pdf(plan: ReturnPlan, paper: Paper) -> bytes:
    """Set the plan in the patient's language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(plan.language):
        running = Running.of(plan, gettext("Return plan"), version=plan.version)
        height = room(running, paper)
        return pdf(return_plan_story(plan, paper, height), running, paper)


def return_plan_story(plan: ReturnPlan, paper: Paper, height: float) -> list[Flowable]:
    """Return the plan as flowables; `height` is what a page has room for, in points."""
    look = styles(paper.body)
    who, about = name(plan.patient, look), Paragraph(_about(plan), look.soft)
    gap = Spacer(1, 6)
    steps = [who, about, para(_lead(plan), look.lead), gap, _table(plan, look, paper)]
    last = [para(words, look.note) for words in (advice.CAUTION[-1], _source(plan))]
    main, rules = [*steps, gap, *last], _rules(plan, look)
    if fits_beside(main, rules, paper, height):
        # The rule stands beside the steps, so that all of it is on one page.
        return beside(main, rules, paper)
    return [*steps, *_rules_below(plan, look), Spacer(1, paper.scaled(10)), *last]


def _source(plan: ReturnPlan) -> str:
    if plan.lifts:
        return gettext("Graded lifting: %(status)s.") % {"status": say(str(Status.CONVENTION))}
    return gettext(
        "%(source)s (%(status)s). A general program for elite players, not made for the elbow."
    ) % {"source": SOURCE, "status": say(str(STATUS))}


def _about(plan: ReturnPlan) -> str:
    words = [markup(plan.elbow), markup(plan.title)]
    if plan.job_kg is not None:
        job = gettext("your job asks for up to %(kg)s kg") % {"kg": number(plan.job_kg, None)}
        words.append(markup(job))
    return " · ".join(words)


def _lead(plan: ReturnPlan) -> str:
    return gettext("Your next step is number %(step)s.") % {"step": plan.next_step}


def go_on(plan: ReturnPlan) -> tuple[str, ...]:
    """When to take the next step, when to stay, and when to go back."""
    each = (
        gettext("Stay a week on each step. Lift on 2 or 3 days a week, with a day between.")
        if plan.lifts
        else gettext("Do one step in a session. Play every other day.")
    )
    return (
        each,
        gettext("Take the next step only when the last session was settled."),
        settled(plan),
        gettext("Not settled? Do the same step again."),
        gettext("Too much? Go one step back. Too much twice in a row? Call us on %(phone)s.")
        % {"phone": unbroken(plan.clinic.phone)},
    )


def settled(plan: ReturnPlan) -> str:
    """What a settled session is under the program's pain policy, as the home program says it."""
    when = advice.pain_levels(plan.limits)[0].when
    return gettext("Settled means: %(when)s") % {"when": " ".join(say(words) for words in when)}


def extras(plan: ReturnPlan) -> tuple[str, ...]:
    """What belongs to the steps of this plan alone."""
    if plan.lifts:
        return (gettext("Leave out a grip that your job never asks for."),)
    return (
        gettext("Serves in steps 2 to 5 are second serves."),
        gettext("Rest %(s)s seconds after two games.") % {"s": REST_AFTER_TWO_GAMES_S},
    )


def _parts(plan: ReturnPlan) -> tuple[tuple[str, Sequence[Words]], ...]:
    return (
        (gettext("When to go on"), go_on(plan)),
        (gettext("Stop at once if"), advice.stop_signs(plan.limits)),
        (gettext("Good to know"), extras(plan)),
    )


def _rules(plan: ReturnPlan, look: Styles) -> list[Flowable]:
    found: list[Flowable] = []
    for title, sentences in _parts(plan):
        found.append(para(title, look.note_head))
        for words in sentences:
            found += [para(words, look.cell), Spacer(1, 3)]
        found.append(Spacer(1, 4))
    return found


def _rules_below(plan: ReturnPlan, look: Styles) -> list[Flowable]:
    return [together(title, bullets(words, look.item), look) for title, words in _parts(plan)]


def _table(plan: ReturnPlan, look: Styles, paper: Paper) -> Table:
    """A row a step; the next one is on a grey ground and says so."""
    heads, rows, shares = _lifting(plan) if plan.lifts else _racket(plan)
    heads, shares = (*heads, gettext("Done on")), (*shares, 0.24)
    widths = [paper.column * share / sum(shares) for share in shares]
    blank = Blank(widths[-1] - 8)
    body = [
        [*(para(cell, _style(plan, row[0], look)) for cell in _marked(plan, row)), blank]
        for row in rows
    ]
    head = [para(label, look.note_head) for label in heads]
    step = plan.next_step
    lines = TableStyle(
        [
            ("FONTNAME", (0, 0), (-1, -1), REGULAR),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 4),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5 if paper.large else 3),
            ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
            ("LINEBELOW", (0, 1), (-1, -1), 0.6, RULE),
            ("BACKGROUND", (0, step), (-1, step), NEXT),
            # The last step does not stand alone on a page.
            ("NOSPLIT", (0, -2), (0, -1)),
            # A match has no counts: its words take their columns.
            *(("SPAN", (1, place), (-2, place)) for place, row in enumerate(rows, 1) if "" in row),
        ]
    )
    return Table([head, *body], colWidths=widths, repeatRows=1, style=lines, hAlign="LEFT")


def _style(plan: ReturnPlan, step: str, look: Styles):
    return look.note_head if step == str(plan.next_step) else look.cell


def _marked(plan: ReturnPlan, row: tuple[str, ...]) -> tuple[str, ...]:
    if row[0] != str(plan.next_step):
        return row
    return (gettext("%(step)s next") % {"step": row[0]}, *row[1:])


def _racket(plan: ReturnPlan) -> tuple[tuple[str, ...], list[tuple[str, ...]], tuple[float, ...]]:
    heads = (
        gettext("Step"),
        gettext("Ground strokes"),
        gettext("Serves"),
        gettext("How hard"),
        gettext("Games"),
    )
    return heads, [_racket_row(step) for step in plan.steps], (0.17, 0.18, 0.15, 0.14, 0.14)


def _racket_row(step: IntervalStep) -> tuple[str, ...]:
    if step.simulated_match:
        return (str(step.number), gettext("a whole match"), "", "", "")
    return (
        str(step.number),
        str(step.ground_strokes),
        str(step.serves or "–"),
        f"{step.stroke_percent} %",
        str(step.games or "–"),
    )


def _lifting(plan: ReturnPlan) -> tuple[tuple[str, ...], list[tuple[str, ...]], tuple[float, ...]]:
    heads = (gettext("Step"), gettext("Weight"), gettext("How"))
    rows = [
        (str(step.number), f"{number(step.load_kg, None)} kg", say(step.grip.value))
        for step in plan.steps
    ]
    return heads, rows, (0.16, 0.13, 0.5)
