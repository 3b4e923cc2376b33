"""The days of a diary in normal print: a row each, the columns in the order in which they are typed in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, Table, TableStyle

from .diary_marks import day_words, labels, others_label, set_boxes
from .fonts import REGULAR
from .marks import Boxes, Numbered, Scale
from .paper import Paper, Styles
from .pieces import INK, RULE, Paragraph, across, para

if TYPE_CHECKING:
    from .diary_page import DiaryPage

# Points: a row, tall enough to write in, with two weeks on a page; each further line of boxes in it.
ROW, LINE = 22, 16
# Points: what a figure needs to be circled, a number to be written; sides of boxes; inside each cell.
CIRCLED, WRITTEN, BOX, NUMBERED, PAD = 13, 40, 12, 14, 4
LEAST_SCALE = 11 * CIRCLED
BOXES_ACROSS, HEAD_LINES = 5, 3
STYLE = TableStyle(
    [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), PAD),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ("LEFTPADDING", (0, 0), (0, -1), 0),
        ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.6, RULE),
        ("LINEBEFORE", (1, 0), (-1, -1), 0.4, RULE),
    ]
)


@dataclass(frozen=True)
class Column:
    """Its head, and its mark for each day; "" where something is written."""

    head: str
    marks: Sequence[Flowable | str]

    def least(self, look: Styles) -> float:
        """The least width in points: of its head, and of what stands or is written in it."""
        return max(narrowest(self.head, look.note_head), *map(_across, self.marks)) + 2 * PAD


def grid(page: DiaryPage, look: Styles, paper: Paper) -> Table:
    """A row a day; the head is repeated on every page. The pain scales take what is left of the width."""
    scale = Scale(LEAST_SCALE, 12)
    columns = _columns(page, scale, look, paper)
    least = [column.least(look) for column in columns]
    share = (paper.width - sum(least)) / 2
    scale.across += share
    heads = [para(column.head, look.note_head) for column in columns]
    marks = [column.marks for column in columns]
    lines = max(getattr(mark, "lines", 1) for mark, *_others in marks)
    return Table(
        [heads, *zip(*marks, strict=True)],
        colWidths=[wide + share * (scale in col) for wide, col in zip(least, marks, strict=True)],
        rowHeights=[None, *[ROW + (lines - 1) * LINE] * page.days],
        repeatRows=1,
        style=STYLE,
        hAlign="LEFT",
    )


def _columns(page: DiaryPage, scale: Scale, look: Styles, paper: Paper) -> list[Column]:
    days = [para(day_words(day), look.note_head) for day in page.dates]
    same = [set_boxes(page, look, BOX, BOXES_ACROSS), "", "", scale, scale, "", Boxes(1, BOX, 1)]
    marks = [days, *([mark] * page.days for mark in same)]
    typed = [Column(head, column) for head, column in zip(labels(page), marks, strict=True)]
    if not page.others:
        return typed
    boxes = _number_boxes(page, paper.width - sum(column.least(look) for column in typed))
    return [*typed, Column(others_label(), [boxes] * page.days)]


def _number_boxes(page: DiaryPage, spare: float) -> Numbered:
    """A box for each other exercise, in as few lines as the width allows, about as many in each."""
    one = Numbered(page.numbers, NUMBERED, 1, 12)
    most = max(1, int((spare - 2 * PAD + one.gap) // one.step))
    lines = math.ceil(one.count / most)
    return Numbered(page.numbers, NUMBERED, math.ceil(one.count / lines), 12)


def _across(mark: Flowable | str) -> float:
    if isinstance(mark, Paragraph):
        return across(mark.getPlainText(), mark.style)
    return mark.wrap(0, 0)[0] if mark else WRITTEN


def narrowest(head: str, style: ParagraphStyle) -> float:
    """The least width in points in which a head takes no more than three lines and breaks no word."""
    font = style.fontName, style.fontSize
    words = head.split()
    longest = max(stringWidth(word, *font) for word in words)
    ends = range(1, len(words) + 1)
    runs = (stringWidth(" ".join(words[a:b]), *font) for b in ends for a in range(b))
    # A hair more than measured, so that rounding breaks no line.
    wide = sorted(run + 0.1 for run in runs if run >= longest)
    return next(run for run in wide if len(simpleSplit(head, *font, run)) <= HEAD_LINES)
