"""The home program: what the patient does, how much pain is all right, and whom to call."""

import datetime
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext
from reportlab.lib.colors import HexColor
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from cases.clinical.drawing import Figure
from clinic.templatetags.clinic_tags import written
from rehab.clinical.exercises import COMMON

from . import advice, figures
from .advice import PainLimits
from .home_opening import opening, overhang
from .paper import ClinicContact, Paper, Running, Styles, pdf, styles
from .pieces import (
    BARE,
    RULE,
    Rule,
    Shape,
    Words,
    beside,
    bullets,
    markup,
    note,
    numbered,
    para,
    titled,
    together,
    unbroken,
)

ROOM = [("TOPPADDING", (0, 0), (-1, -1), 6), ("BOTTOMPADDING", (0, 0), (-1, -1), 4)]


@dataclass(frozen=True, kw_only=True)
class NextVisit:
    """When the patient comes back, in the clinic's own time, and to whom.

    `entry` is the same for the patient's calendar, as an iCalendar file; without it no code is printed.
    """

    on: datetime.date
    at: datetime.time
    practitioner: str
    entry: bytes = b""


@dataclass(frozen=True, kw_only=True)
class HomeExercise:
    """One exercise as it goes home; `dose` are its sentences, `headline` its figures.

    `positions` are the drawings of its start and its end.
    """

    name: Words
    headline: Words
    dose: tuple[Words, ...]
    start: Words
    steps: tuple[Words, ...]
    usual_mistake: Words = ""
    caution: Words = ""
    equipment: Words = ""
    remark: str = ""
    positions: tuple[Figure, Figure] | None = None


@dataclass(frozen=True, kw_only=True)
class HomeProgram:
    """Everything the printed home program says, and nothing it does not."""

    clinic: ClinicContact
    patient: str
    record: str
    elbow: Words
    language: str
    on: datetime.date
    version: int
    stage: int
    stage_words: Words
    limits: PainLimits
    review_weeks: int
    exercises: tuple[HomeExercise, ...]
    remark: str
    next_visit: NextVisit | None
    issued_by: str
    registration_number: str
    issued_on: datetime.date
    training_days: Words = ""


def home_program_pdf(sheet: HomeProgram, paper: Paper) -> bytes:
    """Set the sheet in the patient's language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(sheet.language):
        running = Running(
            title=gettext("Home program"),
            clinic=sheet.clinic,
            patient=sheet.patient,
            record=sheet.record,
            on=sheet.on,
            version=sheet.version,
        )
        return pdf(lambda: home_program_story(sheet, paper), running, paper)


def home_program_story(sheet: HomeProgram, paper: Paper) -> list[Flowable]:
    """Return the sheet as flowables, the most important first."""
    look = styles(paper.body)
    return [
        *opening(sheet, look, paper),
        *_pain(sheet, look, paper),
        *_stop(sheet, look, paper),
        *_remark(sheet, look, paper),
        *_exercises(sheet, look, paper),
        *_closing(sheet, look, paper),
    ]


def _pain(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    rows = [_pain_row(level, look, paper) for level in advice.pain_levels(sheet.limits)]
    rows.append(Rule(paper.column))
    notes = [
        *note(gettext("Pain from 0 to 10"), advice.SCALE, look, paper),
        *note(gettext("Usual"), advice.USUAL, look, paper),
    ]
    title = gettext("How much pain is all right")
    if paper.margin:
        room = Spacer(1, overhang(sheet, look, paper))
        return titled(title, rows, [room, *notes], paper, look)
    # In large print the levels may go on to the next page, each of them whole.
    first, *others = rows
    return [
        together(title, [first], look),
        *others,
        Spacer(1, paper.scaled(8)),
        KeepTogether(notes),
    ]


def _pain_row(level: advice.PainLevel, look: Styles, paper: Paper) -> Table:
    color = HexColor(level.color)
    mark = Table(
        [[Shape(level.shape, paper.scaled(11), color), para(level.word, look.note_head)]],
        colWidths=[paper.scaled(17), paper.scaled(69)],
        style=TableStyle([*BARE, ("TOPPADDING", (0, 0), (0, 0), paper.scaled(3.5))]),
        hAlign="LEFT",
    )
    either = gettext("Or:")
    joined = f" {either} " if level.shape != "full" else " "
    when = joined.join(markup(sentence) for sentence in level.when)
    told = Paragraph(f"{when} <b>{markup(level.act)}</b>", look.body)
    level_words = [para(level.span, look.figure), mark] if level.span else [mark]
    left = paper.scaled(86)
    return Table(
        [[level_words, [told]]],
        colWidths=[left, paper.column - left],
        style=TableStyle([*BARE, *ROOM, ("LINEABOVE", (0, 0), (-1, -1), 0.6, RULE)]),
        hAlign="LEFT",
    )


def _stop(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    number = sheet.clinic.emergency_phone
    urgent = [
        para(advice.HELP_WHERE, look.body),
        *bullets(advice.HELP_TODAY, look.item),
    ]
    notes = [
        para(gettext("Emergency"), look.note_head),
        para(number, look.figure),
        para(advice.emergency(number), look.body),
    ]
    stop = bullets(advice.stop_signs(sheet.limits), look.item)
    return [
        together(gettext("Stop the exercise at once if"), stop, look),
        *titled(gettext("Get help the same day if"), urgent, notes, paper, look),
    ]


def _remark(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    if not sheet.remark.strip():
        return []
    title = gettext("From %(who)s") % {"who": sheet.issued_by}
    parts = [part for part in sheet.remark.splitlines() if part.strip()]
    # A remark may be longer than a page, so its heading can't be kept with all of it.
    room = CondPageBreak(paper.scaled(90))
    return [room, para(title, look.head), *(para(part, look.body) for part in parts)]


def _exercises(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    common = [together(gettext("Each time"), bullets(COMMON, look.item), look)]
    blocks = [
        _exercise(number, exercise, look, paper)
        for number, exercise in enumerate(sheet.exercises, start=1)
    ]
    return [*common, *blocks]


def _exercise(number: int, exercise: HomeExercise, look: Styles, paper: Paper) -> Flowable:
    """One exercise, moved to the next page whole rather than cut; one taller than a page goes on."""
    title = Paragraph(f"{number}. {markup(exercise.name)}", look.head)
    # Not inside an f-string, where makemessages finds no message.
    start, yours = gettext("Start."), gettext("For you.")
    main = [
        *_dose(exercise, look, paper),
        Paragraph(f"<b>{start}</b> {markup(exercise.start)}", look.body),
        *numbered(exercise.steps, look.item),
    ]
    if exercise.remark:
        main.append(Paragraph(f"<b>{yours}</b> {markup(exercise.remark)}", look.body))
    return KeepTogether(
        [
            Rule(paper.width, before=paper.scaled(12)),
            title,
            *beside(main, _exercise_notes(exercise, look, paper), paper),
        ]
    )


def _dose(exercise: HomeExercise, look: Styles, paper: Paper) -> list[Flowable]:
    """The dose below the drawings; with a remark in large print its figure stands beside them."""
    figure = para(exercise.headline, look.dose)
    words = Paragraph(" ".join(markup(sentence) for sentence in exercise.dose), look.body)
    if exercise.positions is None:
        return [figure, words]
    if paper.large and exercise.remark:
        return [figures.beside(figure, exercise.positions, paper), words]
    return [figures.start_and_end(exercise.positions, look, paper), figure, words]


def _exercise_notes(exercise: HomeExercise, look: Styles, paper: Paper) -> list[Flowable]:
    labeled = (
        (gettext("Usual mistake"), exercise.usual_mistake),
        (gettext("Take care"), exercise.caution),
        (gettext("You need"), exercise.equipment),
    )
    return [part for label, words in labeled if words for part in note(label, words, look, paper)]


def _closing(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    call = gettext("Call us on %(phone)s if") % {"phone": unbroken(sheet.clinic.phone)}
    sources = [para(source, look.note) for source in advice.sources(sheet.limits)]
    return [
        Spacer(1, paper.scaled(10)),
        together(call, bullets(advice.call_us(sheet.review_weeks), look.item), look),
        *_section(gettext("Why you load the arm"), advice.WHY, look),
        *_section(gettext("What to expect"), advice.EXPECT, look),
        *_section(gettext("Good to know"), advice.CAUTION, look),
        *_section(gettext("Written by"), [signature(sheet)], look),
        together(gettext("Where this comes from"), sources, look),
    ]


def _section(title: str, sentences, look: Styles) -> list[Flowable]:
    text = " ".join(markup(sentence) for sentence in sentences)
    return [together(title, [Paragraph(text, look.body)], look)]


def signature(sheet: HomeProgram) -> str:
    facts = {
        "who": sheet.issued_by,
        "number": sheet.registration_number,
        "date": written(sheet.issued_on),
    }
    if sheet.registration_number:
        return gettext("%(who)s, registration %(number)s, %(date)s.") % facts
    return gettext("%(who)s, %(date)s.") % facts
