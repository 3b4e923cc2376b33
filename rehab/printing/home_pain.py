"""How much pain is all right: in brief on the first page, whole before the exercises."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext
from reportlab.lib.colors import HexColor
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import say

from . import advice
from .fonts import SEMIBOLD
from .paper import Paper, Styles
from .pieces import BARE, RULE, Paragraph, Rule, Shape, Words, markup, note, para, titled, together

if TYPE_CHECKING:
    from .home_program import HomeProgram

ROOM = [("TOPPADDING", (0, 0), (-1, -1), 6), ("BOTTOMPADDING", (0, 0), (-1, -1), 4)]
LINE = ("LINEABOVE", (0, 0), (-1, -1), 0.6, RULE)
# Points of the column with range, shape and word, and of the shape in it.
RANGE, SHAPE = 86, 17


def in_brief(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    """The levels in one line, each with what to do; large print has no room for it on its first page."""
    if not paper.margin:
        return []
    levels = [level for level in advice.pain_levels(sheet.limits) if level.span]
    said = [(gettext("Pain %(span)s") % {"span": level.span}, say(level.brief)) for level in levels]
    least = [
        max(stringWidth(words, SEMIBOLD, look.note.fontSize) for words in each) for each in said
    ]
    share = (paper.column - sum(least)) / len(levels)
    cells = [
        [_shape_and_word(level, words, look, paper, least[place] + SHAPE), para(act, look.cell)]
        for place, (level, (words, act)) in enumerate(zip(levels, said, strict=True))
    ]
    table = Table(
        [cells],
        colWidths=[width + share for width in least],
        style=TableStyle([*BARE, *ROOM, LINE]),
        spaceBefore=4,
        hAlign="LEFT",
    )
    return [table, Rule(paper.column)]


def pain(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    """Each level with all that it covers and what to do."""
    rows = [_row(level, look, paper) for level in advice.pain_levels(sheet.limits)]
    rows.append(Rule(paper.column))
    notes = [
        *note(gettext("Pain from 0 to 10"), advice.SCALE, look, paper),
        *note(gettext("Usual"), advice.USUAL, look, paper),
    ]
    title = gettext("How much pain is all right")
    if paper.margin:
        return titled(title, rows, notes, paper, look)
    # In large print the levels may go on to the next page, each of them whole.
    first, *others = rows
    return [
        together(title, [first], look),
        *others,
        Spacer(1, paper.scaled(8)),
        KeepTogether(notes),
    ]


def _row(level: advice.PainLevel, look: Styles, paper: Paper) -> Table:
    either = gettext("Or:")
    joined = f" {either} " if level.shape != "full" else " "
    when = joined.join(markup(sentence) for sentence in level.when)
    told = Paragraph(f"{when} <b>{markup(level.act)}</b>", look.body)
    left = paper.scaled(RANGE)
    mark = _shape_and_word(level, level.word, look, paper, left)
    return Table(
        [[[para(level.span, look.figure), mark] if level.span else [mark], [told]]],
        colWidths=[left, paper.column - left],
        style=TableStyle([*BARE, *ROOM, LINE]),
        hAlign="LEFT",
    )


def _shape_and_word(
    level: advice.PainLevel, words: Words, look: Styles, paper: Paper, width: float
) -> Table:
    shape = Shape(level.shape, paper.scaled(11), HexColor(level.color))
    across = paper.scaled(SHAPE)
    return Table(
        [[shape, para(words, look.note_head)]],
        colWidths=[across, width - across],
        style=TableStyle([*BARE, ("TOPPADDING", (0, 0), (0, 0), paper.scaled(3.5))]),
        hAlign="LEFT",
    )
