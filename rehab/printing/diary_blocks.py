"""The days of a diary in large print: a block each. What is typed in comes in the order of the columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Table, TableStyle

from .diary_marks import MOST_BOXES, day_words, labels, others_label, set_boxes
from .marks import Blank, Boxes, Numbered, Scale
from .paper import Paper, Styles
from .pieces import BARE, INK, Paragraph, Rule, across, para

if TYPE_CHECKING:
    from .diary_page import DiaryPage

# Points: a line of a block, tall enough to write in; behind a mark; sides of boxes; the type in them.
LINE, GAP = 31, 9
BOX, NUMBERED, TEXT = 18, 24, 18


def blocks(page: DiaryPage, look: Styles, paper: Paper) -> list[Flowable]:
    return [_block(page, day, look, paper) for day in page.dates]


def _block(page: DiaryPage, day: date, look: Styles, paper: Paper) -> Flowable:
    _, sets, last, weight, worst, morning, woken, sharp = labels(page)
    days = [day_words(each) for each in page.dates]
    done = [
        _as_wide(day_words(day), days, look.note_head),
        para(sets, look.note),
        set_boxes(page, look, BOX, MOST_BOXES),
    ]
    lines = [
        *_with_others(done, page, look, paper),
        [para(last, look.note), Blank(0), para(weight, look.note), Blank(0)],
        *([_as_wide(one, (worst, morning), look.note), Scale(0, TEXT)] for one in (worst, morning)),
        [para(woken, look.note), Blank(0), para(sharp, look.note), Boxes(1, BOX, 1)],
    ]
    rule = Rule(paper.width, thickness=1, color=INK, before=4)
    return KeepTogether([rule, *(_line(parts, paper) for parts in lines)])


def _as_wide(words: str, among: Sequence[str], style: ParagraphStyle) -> Table:
    """The words, as wide as the widest among such, so that what follows stands below one another."""
    widest = max(across(each, style) for each in among)
    return Table([[para(words, style)]], colWidths=[widest], style=BARE)


def _with_others(
    done: list[Flowable], page: DiaryPage, look: Styles, paper: Paper
) -> list[list[Flowable]]:
    """What was done on a day: the other exercises behind the sets, or below where the line is too short."""
    if not page.others:
        return [done]
    numbers = Numbered(page.numbers, NUMBERED, len(page.numbers), TEXT)
    others = [para(others_label(), look.note), numbers]
    fits = sum(map(_taken, [*done, *others])) - GAP <= paper.width
    return [[*done, *others]] if fits else [done, others]


def _line(parts: list[Flowable], paper: Paper) -> Table:
    """Labels and marks, each as wide as it is; what is left goes to the lines and scales to write on."""
    growing = [part for part in parts if isinstance(part, Blank | Scale)]
    left = paper.width - sum(map(_taken, parts))
    for part in growing:
        part.across = left / len(growing)
    return Table(
        [parts],
        colWidths=[_taken(part) for part in parts],
        rowHeights=[LINE],
        style=TableStyle([*BARE, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")]),
        hAlign="LEFT",
    )


def _taken(part: Flowable) -> float:
    """How much of a line a part takes in points, with a gap behind it."""
    if isinstance(part, Paragraph):
        return across(part.getPlainText(), part.style)
    return part.wrap(0, 0)[0] + (0 if isinstance(part, Table) else GAP)
