"""One part of the copy of a record on paper: every row held, with every column that says something."""

import datetime
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Spacer, Table, TableStyle

from .fonts import spelled
from .ledger import cell_style, table
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import BARE, SOFT, markup, name, para

# Points between the columns of a table; a text of more signs stands in a paragraph of its own.
GAP, LONG = 8, 160
# A row of a table can't run over a page; so many signs fit one in the narrowest column.
MOST_IN_CELL = 200
LABEL_SHARE = 0.34
# Where a line may end: not within a date, whose blanks are no-break spaces.
BREAKS = re.compile(r"[ \n]+")


@dataclass(frozen=True, kw_only=True)
class Block:
    """One row with its facts, or a table of rows; what hangs under it stands inside."""

    title: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    heads: tuple[str, ...] = ()
    lines: tuple[tuple[str, ...], ...] = ()
    inside: tuple["Block", ...] = ()


@dataclass(frozen=True, kw_only=True)
class CopySheet(Sheet):
    """Everything that one part of the copy says; `part` is which of how many."""

    born: datetime.date
    title: str
    about: str
    part: tuple[int, int]
    blocks: tuple[Block, ...]


def copy_sheet_pdf(sheet: CopySheet) -> bytes:
    """Set a part; a sign that the type lacks stands as its number, since a copy may leave nothing out."""
    title = gettext("Copy of the record, part %(part)s of %(parts)s")
    part, parts = sheet.part
    running = Running.of(
        sheet, title % {"part": part, "parts": parts}, patient=spelled(sheet.patient)
    )
    paper = Paper(page=sheet.clinic.page, noted=False)
    return pdf(copy_story(sheet, paper), running, paper)


def copy_story(sheet: CopySheet, paper: Paper) -> list[Flowable]:
    """Return who it is about and what the part holds, then block after block."""
    look = styles(paper.body)
    who = gettext("Record %(record)s · %(title)s") % {
        "record": sheet.record,
        "title": spelled(sheet.title),
    }
    return [
        name(spelled(sheet.patient), look),
        para(who, look.soft),
        para(sheet.about, look.lead),
        *(part for block in sheet.blocks for part in _block(block, look, paper, depth=0)),
    ]


def _block(block: Block, look: Styles, paper: Paper, *, depth: int) -> Iterator[Flowable]:
    if block.title:
        yield CondPageBreak(paper.scaled(90))
        yield Spacer(1, paper.scaled(6 if depth else 2))
        yield para(spelled(block.title), look.note_head if depth else look.head)
    yield from _facts(block.facts, look, paper)
    if block.lines:
        yield from _lines(block, look, paper)
    for inner in block.inside:
        yield from _block(inner, look, paper, depth=depth + 1)


def _facts(facts: Iterable[tuple[str, str]], look: Styles, paper: Paper) -> Iterator[Flowable]:
    """Short facts as a table, a longer text in paragraphs under its label: it may run over a page."""
    short: list[tuple[str, str]] = []
    for label, words in facts:
        if len(words) > LONG or "\n" in words:
            yield from _short(short, look, paper)
            short = []
            yield CondPageBreak(paper.scaled(50))
            yield para(label, look.note)
            yield from _paragraphs(words, look)
        else:
            short.append((label, words))
    yield from _short(short, look, paper)


def _paragraphs(words: str, look: Styles) -> Iterator[Flowable]:
    yield from (para(spelled(line), look.body) for line in words.splitlines() if line.strip())


def _short(facts: list[tuple[str, str]], look: Styles, paper: Paper) -> Iterator[Flowable]:
    if facts:
        rows = [
            [para(label, look.note), para(spelled(words), cell_style(look))]
            for label, words in facts
        ]
        label = LABEL_SHARE * paper.width
        within = [*BARE, ("RIGHTPADDING", (0, 0), (0, -1), GAP)]
        widths = [label, paper.width - label]
        yield Table(rows, colWidths=widths, style=TableStyle(within), hAlign="LEFT")


def _lines(block: Block, look: Styles, paper: Paper) -> Iterator[Flowable]:
    """A table where it fits the page, otherwise each row as a sentence of its columns."""
    shares = _shares(block, look, paper)
    if shares is None:
        yield from (_sentence(block.heads, line, look) for line in block.lines)
        return
    cell = cell_style(look)
    rows = [[para(spelled(words), cell) for words in line] for line in block.lines]
    yield table(block.heads, rows, shares, look, paper)
    yield Spacer(1, paper.scaled(4))


def _sentence(heads: tuple[str, ...], line: tuple[str, ...], look: Styles) -> Paragraph:
    said = (
        f"<font color='{SOFT.hexval()}'>{markup(head)}</font> {markup(spelled(words))}"
        for head, words in zip(heads, line, strict=True)
        if words
    )
    return Paragraph(" · ".join(said), look.body)


def _shares(block: Block, look: Styles, paper: Paper) -> list[float] | None:
    """Each column's share of the width by its widest word and longest text; None where it is too much."""
    columns = list(zip(block.heads, *block.lines, strict=True))
    if max(len(text) for column in columns for text in column) > MOST_IN_CELL:
        return None
    narrowest = [
        max(_width(word, look) for text in column for word in BREAKS.split(text))
        for column in columns
    ]
    widest = [max(_width(text, look) for text in column) for column in columns]
    room = paper.width - sum(narrowest)
    if room < 0:
        return None
    more = [wide - narrow for wide, narrow in zip(widest, narrowest, strict=True)]
    share = min(1, room / sum(more)) if sum(more) else 0
    taken = [narrow + share * extra for narrow, extra in zip(narrowest, more, strict=True)]
    # What is left over goes to the last column, so that the rules run across the page.
    taken[-1] += paper.width - sum(taken)
    return [one / paper.width for one in taken]


def _width(text: str, look: Styles) -> float:
    head = look.note_head
    return stringWidth(spelled(text), head.fontName, head.fontSize) + GAP + 1
