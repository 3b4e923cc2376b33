"""The diary page: one row a day, to tick and circle, in the order in which the days are typed in."""

import datetime
from dataclasses import dataclass

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext
from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import (
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from clinic.templatetags.clinic_tags import clock, say, written

from . import advice
from .advice import PainLimits
from .fonts import REGULAR
from .home_program import NextVisit
from .marks import Blank, Boxes, Scale
from .paper import ClinicContact, Paper, Running, Styles, pdf, styles
from .pieces import BARE, INK, RULE, Rule, Shape, Words, across, markup, name, para, unbroken

USUAL_DAYS, MOST_DAYS, MOST_BOXES = 14, 42, 10
BOXES_ACROSS = 5
# Points: a row of the grid, tall enough to write in, with two weeks on a page.
ROW = 23.2


@dataclass(frozen=True, kw_only=True)
class DiaryPage:
    """Everything the printed diary says. `sets` are those asked for in a day; 1 to 42 `days`."""

    clinic: ClinicContact
    patient: str
    record: str
    elbow: Words
    language: str
    on: datetime.date
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

    def __post_init__(self) -> None:
        if not 1 <= self.days <= MOST_DAYS:
            raise ValueError(f"a diary has 1 to {MOST_DAYS} days")
        if self.sets < 1:
            raise ValueError("a diary asks for at least one set")

    @property
    def dates(self) -> tuple[datetime.date, ...]:
        return tuple(self.first_day + datetime.timedelta(days=day) for day in range(self.days))


def diary_page_pdf(page: DiaryPage, paper: Paper) -> bytes:
    """Set the diary in the patient's language: sideways in normal print, upright in large.

    Raises CannotPrint for a sign the type lacks.
    """
    with translation.override(page.language):
        running = Running(
            title=gettext("Diary"),
            clinic=page.clinic,
            patient=page.patient,
            record=page.record,
            on=page.on,
            version=page.version,
        )
        return pdf(lambda: diary_page_story(page, paper), running, paper)


def diary_paper(paper: Paper) -> Paper:
    """Return the paper turned as the diary needs it."""
    if paper.large:
        return paper
    return Paper(page=paper.page, body=paper.body, sideways=True, edge=12 * mm)


def diary_page_story(page: DiaryPage, paper: Paper) -> list[Flowable]:
    look = styles(paper.body)
    days = _blocks(page, look, paper) if paper.large else [_grid(page, look, paper)]
    return [*_opening(page, look, paper), Spacer(1, paper.scaled(6)), *days]


def _opening(page: DiaryPage, look: Styles, paper: Paper) -> list[Flowable]:
    asked = gettext("%(exercise)s: <b>%(headline)s</b>. %(often)s") % {
        "exercise": markup(page.exercise),
        "headline": markup(page.headline),
        "often": " ".join(filter(None, map(markup, (page.how_often, page.training_days)))),
    }
    how = gettext(
        "%(sets)s Circle your pain: 0 is none, 10 is the worst you can think of. "
        "Put the next morning's pain with the day before. %(bring)s"
    ) % {"sets": _count(page), "bring": _bring(page)}
    work, told = Paragraph(asked, look.lead), Paragraph(how, look.body)
    who, levels = name(page.patient, look), _levels(page, look, paper)
    if paper.large:
        return [who, work, told, levels]
    taken = sum(levels._colWidths)
    both = Table(
        [[who, levels]],
        colWidths=[paper.width - taken, taken],
        style=TableStyle([*BARE, ("TOPPADDING", (1, 0), (1, 0), 14)]),
    )
    return [both, work, told]


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
        "day": markup(f"{date_format(visit.on, 'l')}, {written(visit.on)}"),
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


def _boxes(page: DiaryPage, look: Styles, paper: Paper) -> Flowable:
    if page.sets > MOST_BOXES:
        return para(gettext("___ of %(sets)s") % {"sets": page.sets}, look.note_head)
    return Boxes(page.sets, paper.scaled(12), MOST_BOXES if paper.large else BOXES_ACROSS)


def _labels(page: DiaryPage) -> tuple[str, ...]:
    last = gettext("Last set: seconds") if page.holds else gettext("Last set: repetitions")
    return (
        gettext("Day"),
        gettext("Sets done"),
        last,
        gettext("Weight, kg"),
        gettext("Worst pain during"),
        gettext("Pain next morning"),
        gettext("Times woken at night"),
        gettext("Sharp pain or locking"),
    )


def _grid(page: DiaryPage, look: Styles, paper: Paper) -> Table:
    """A row a day; the head is repeated on every page."""
    narrow = (74, 86, 72, 50, 66, 60)
    scale = (paper.width - sum(narrow)) / 2
    widths = [*narrow[:4], scale, scale, *narrow[4:]]
    lines = -(-page.sets // BOXES_ACROSS) if page.sets <= MOST_BOXES else 1
    head = [para(label, look.note_head) for label in _labels(page)]
    rows = [
        [
            para(_day(day), look.note_head),
            _boxes(page, look, paper),
            "",
            "",
            Scale(scale - 8, 12),
            Scale(scale - 8, 12),
            "",
            Boxes(1, 12, 1),
        ]
        for day in page.dates
    ]
    style = TableStyle(
        [
            ("FONTNAME", (0, 0), (-1, -1), REGULAR),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 4),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 0), (-1, -1), 2),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
            ("LEFTPADDING", (0, 0), (0, -1), 0),
            ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
            ("LINEBELOW", (0, 1), (-1, -1), 0.6, RULE),
            ("LINEBEFORE", (1, 0), (-1, -1), 0.4, RULE),
        ]
    )
    return Table([head, *rows], colWidths=widths, rowHeights=[None, *[ROW + (lines - 1) * 15.6] * page.days],
                 repeatRows=1, style=style, hAlign="LEFT")  # fmt: skip


def _blocks(page: DiaryPage, look: Styles, paper: Paper) -> list[Flowable]:
    """In large print a day takes four lines, each with its own label, in the same order."""
    return [_block(page, day, look, paper) for day in page.dates]


def _block(page: DiaryPage, day: datetime.date, look: Styles, paper: Paper) -> Flowable:
    _, sets, last, weight, worst, morning, woken, sharp = _labels(page)
    half = paper.width / 2
    left = max(across(label, look.note) for label in (last, woken))
    right = max(across(label, look.note) for label in (worst, morning))
    done = [para(_day(day), look.note_head), para(sets, look.note), _boxes(page, look, paper)]
    return KeepTogether(
        [
            Rule(paper.width, thickness=1, color=INK, before=4),
            _line(done, (130, across(sets, look.note), None), paper),
            _two(last, weight, Blank(half - across(weight, look.note) - 10), left, look, paper),
            _scale(worst, right, look, paper),
            _scale(morning, right, look, paper),
            _two(woken, sharp, Boxes(1, 18, 1), left, look, paper),
        ]
    )


def _two(
    first: str, second: str, answer: Flowable, left: float, look: Styles, paper: Paper
) -> Table:
    """Two questions in a line: the first with a blank behind it."""
    half = paper.width / 2
    cells = [para(first, look.note), Blank(half - left - 15), para(second, look.note), answer]
    return _line(cells, (left, half - left, across(second, look.note), None), paper)


def _scale(label: str, left: float, look: Styles, paper: Paper) -> Table:
    return _line([para(label, look.note), Scale(paper.width - left, 18)], (left, None), paper)


def _line(cells: list[Flowable], fixed: tuple, paper: Paper) -> Table:
    widths = [width or paper.width - sum(filter(None, fixed)) for width in fixed]
    style = TableStyle([*BARE, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")])
    return Table([cells], colWidths=widths, rowHeights=[31], hAlign="LEFT", style=style)


def _day(day: datetime.date) -> str:
    return unbroken(date_format(day, gettext("D j M")))
