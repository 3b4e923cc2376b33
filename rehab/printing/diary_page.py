"""The diary page: one row a day, to tick and circle, in the order in which the days are typed in."""

import datetime
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext
from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import (
    Flowable,
    Spacer,
    Table,
    TableStyle,
)

from clinic.templatetags.clinic_tags import clock, say

from . import advice
from .advice import PainLimits
from .diary_blocks import blocks
from .diary_grid import grid
from .diary_marks import MOST_BOXES
from .home_program import NextVisit
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import BARE, Paragraph, Shape, Words, across, markup, name, para, unbroken

USUAL_DAYS, MOST_DAYS = 14, 42


@dataclass(frozen=True, kw_only=True)
class DiaryPage(Sheet):
    """Everything the printed diary says. `sets` are those asked for in a day; 1 to 42 `days`.

    `exercise` is the first of the program; `others` are the names of those that follow it, in their order.
    """

    elbow: Words
    language: str
    version: int
    exercise: Words
    headline: Words
    how_often: Words
    sets: int
    holds: bool
    limits: PainLimits
    next_visit: NextVisit | None
    first_day: datetime.date
    days: int = USUAL_DAYS
    training_days: Words = ""
    others: tuple[Words, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.days <= MOST_DAYS:
            raise ValueError(f"a diary has 1 to {MOST_DAYS} days")
        if self.sets < 1:
            raise ValueError("a diary asks for at least one set")

    @property
    def dates(self) -> tuple[datetime.date, ...]:
        return tuple(self.first_day + datetime.timedelta(days=day) for day in range(self.days))

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers that the other exercises have on the home program."""
        return tuple(range(2, 2 + len(self.others)))


def diary_page_pdf(page: DiaryPage, paper: Paper) -> bytes:
    """Set the diary in the patient's language: sideways in normal print, upright in large.

    Raises CannotPrint for a sign the type lacks.
    """
    with translation.override(page.language):
        running = Running.of(page, gettext("Diary"), version=page.version)
        return pdf(diary_page_story(page, paper), running, paper)


def diary_paper(paper: Paper) -> Paper:
    """Return the paper turned as the diary needs it."""
    if paper.large:
        return paper
    return Paper(page=paper.page, body=paper.body, sideways=True, edge=12 * mm)


def diary_page_story(page: DiaryPage, paper: Paper) -> list[Flowable]:
    look = styles(paper.body)
    days = blocks(page, look, paper) if paper.large else [grid(page, look, paper)]
    return [*_opening(page, look, paper), Spacer(1, paper.scaled(6)), *days]


def _opening(page: DiaryPage, look: Styles, paper: Paper) -> list[Flowable]:
    asked = gettext("%(elbow)s · 1. %(exercise)s: <b>%(headline)s</b>. %(often)s") % {
        "elbow": markup(page.elbow),
        "exercise": markup(page.exercise),
        "headline": markup(page.headline),
        "often": " ".join(filter(None, map(markup, (page.how_often, page.training_days)))),
    }
    how = gettext(
        "%(sets)s Circle your pain: 0 is none, 10 is the worst you can think of. "
        "Put the next morning's pain with the day before. %(bring)s"
    ) % {"sets": _count(page), "bring": _bring(page)}
    work = Paragraph(asked, look.lead)
    told = Paragraph(" ".join(filter(None, (how, _others(page)))), look.body)
    who, levels = name(page.patient, look), _levels(page, look, paper)
    if paper.large:
        return [who, work, told, levels]
    taken, _height = levels.wrap(paper.width, paper.width)
    both = Table(
        [[who, levels]],
        colWidths=[paper.width - taken, taken],
        style=TableStyle([*BARE, ("TOPPADDING", (1, 0), (1, 0), 14)]),
    )
    return [both, work, told]


def _others(page: DiaryPage) -> str:
    if not page.others:
        return ""
    named = zip(page.numbers, page.others, strict=True)
    key = ", ".join(f"<b>{number}</b>\u00a0{markup(words)}" for number, words in named)
    return gettext(
        "<b>Other exercises:</b> tick the number of each one that you did. %(key)s. "
        "The clinic types in all but these ticks."
    ) % {"key": key}


def _count(page: DiaryPage) -> str:
    if page.sets > MOST_BOXES:
        return gettext("Write how many sets you did.")
    return gettext("Tick a box for each set.")


def _bring(page: DiaryPage) -> str:
    visit = page.next_visit
    if visit is None:
        return gettext("Bring this page with you. To book, call <b>%(phone)s</b>.") % {
            "phone": markup(unbroken(page.clinic.phone))
        }
    return gettext("Bring this page on <b>%(day)s at %(time)s</b>.") % {
        "day": markup(visit.day),
        "time": clock(visit.at),
    }


def _levels(page: DiaryPage, look: Styles, paper: Paper) -> Table:
    """The pain rule in one line: shape, word, range."""
    cells, widths = [], []
    for level in advice.pain_levels(page.limits):
        if not level.span:
            continue
        words = f"{say(level.word)} {level.span}"
        cells += [
            Shape(level.shape, paper.scaled(11), HexColor(level.color)),
            para(words, look.note_head),
        ]
        widths += [paper.scaled(17), across(words, look.note_head) + paper.scaled(5)]
    return Table(
        [cells],
        colWidths=widths,
        style=TableStyle([*BARE, ("TOPPADDING", (0, 0), (-1, -1), paper.scaled(2))]),
        hAlign="LEFT",
    )
