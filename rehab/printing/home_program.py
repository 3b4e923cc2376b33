"""The home program: what the patient does, how much pain is all right, and whom to call."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import (
    Flowable,
    KeepTogether,
    Spacer,
)

from cases.clinical.drawing import Figure
from clinic.templatetags.clinic_tags import written
from rehab.clinical.daily_life import TIPS
from rehab.clinical.exercises import COMMON

from . import advice, figures
from .advice import PainLimits
from .home_opening import coming_back, opening
from .home_pain import in_brief, pain
from .home_safety import safety
from .paper import Paper, Running, Sheet, Styles, pdf, room, styles
from .pieces import (
    Paragraph,
    Rule,
    Words,
    beside,
    bullets,
    ending,
    markup,
    note,
    numbered,
    para,
    together,
    varied,
    wide,
)


@dataclass(frozen=True, kw_only=True)
class NextVisit:
    """When the patient comes back, in the clinic's own time, and to whom.

    `entry` is the same for the patient's calendar, as an iCalendar file; without it no code is printed.
    """

    on: datetime.date
    at: datetime.time
    practitioner: str
    entry: bytes = b""

    @property
    def day(self) -> str:
        """The date with its weekday, in the reader's language."""
        return f"{date_format(self.on, 'l')}, {written(self.on)}"


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
class HomeProgram(Sheet):
    """Everything the printed home program says, and nothing it does not."""

    elbow: Words
    language: str
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
        running = Running.of(sheet, gettext("Home program"), version=sheet.version)
        height = room(running, paper)
        return pdf(home_program_story(sheet, paper, height), running, paper)


def home_program_story(sheet: HomeProgram, paper: Paper, height: float) -> list[Flowable]:
    """Return the sheet as flowables, the most important first; `height` is a page's room in points."""
    look = styles(paper.body)
    first = [*opening(sheet, look, paper), *in_brief(sheet, look, paper)]
    return [
        *first,
        *safety(sheet, look, paper, after=first, height=height),
        *coming_back(sheet, look, paper),
        *_remark(sheet, look),
        *pain(sheet, look, paper),
        *_each_day(look, paper),
        *_exercises(sheet, look, paper),
        *_closing(sheet, look, paper, height),
    ]


def _remark(sheet: HomeProgram, look: Styles) -> list[Flowable]:
    if not sheet.remark.strip():
        return []
    title = gettext("From %(who)s") % {"who": sheet.issued_by}
    first, *others = (para(part, look.body) for part in sheet.remark.splitlines() if part.strip())
    # A remark may be longer than a page, so its heading is kept with its first paragraph alone.
    return [together(title, [first], look), *others]


def _each_day(look: Styles, paper: Paper) -> list[Flowable]:
    item = wide(look.item, paper)
    tips = [Paragraph(_run_on(tip.sentences), item, bulletText="•") for tip in TIPS]
    return [
        together(gettext("Each time"), bullets(COMMON, item), look),
        together(gettext("What helps in daily life"), tips, look),
    ]


def _exercises(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    return [
        _exercise(number, exercise, look, paper)
        for number, exercise in enumerate(sheet.exercises, start=1)
    ]


def _exercise(number: int, exercise: HomeExercise, look: Styles, paper: Paper) -> Flowable:
    """One exercise, moved to the next page whole rather than cut; one taller than a page goes on."""
    # The rule above it sets it off, so that two exercises have room on a page.
    head = varied(look.head, spaceBefore=paper.scaled(4))
    title = Paragraph(f"{number}. {markup(exercise.name)}", head)
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
    words = Paragraph(_run_on(exercise.dose), look.body)
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


def _closing(sheet: HomeProgram, look: Styles, paper: Paper, height: float) -> list[Flowable]:
    close = varied(wide(look.note, paper), spaceAfter=paper.scaled(3))
    body = wide(look.body, paper)
    sources = [para(source, close) for source in advice.sources(sheet.limits)]
    return [
        Spacer(1, paper.scaled(10)),
        *ending(
            (
                _section(gettext("Why you load the arm"), advice.WHY, body, look),
                _section(gettext("What to expect"), advice.EXPECT, body, look),
                _section(gettext("Good to know"), advice.CAUTION, body, look),
                _section(gettext("Written by"), [signature(sheet)], body, look),
                [para(gettext("Where this comes from"), look.head), *sources],
            ),
            paper.column,
            height,
        ),
    ]


def _section(
    title: str, sentences: Iterable[Words], body: ParagraphStyle, look: Styles
) -> list[Flowable]:
    return [para(title, look.head), Paragraph(_run_on(sentences), body)]


def _run_on(sentences: Iterable[Words]) -> str:
    return " ".join(map(markup, sentences))


def signature(sheet: HomeProgram) -> str:
    facts = {
        "who": sheet.issued_by,
        "number": sheet.registration_number,
        "date": written(sheet.issued_on),
    }
    if sheet.registration_number:
        return gettext("%(who)s, registration %(number)s, %(date)s.") % facts
    return gettext("%(who)s, %(date)s.") % facts
