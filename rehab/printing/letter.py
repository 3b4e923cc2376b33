"""What letters share: a page without a margin, the labels before the text, a line to sign on."""

import datetime
from collections.abc import Iterable, Iterator

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import written

from .paper import ClinicContact, Paper, Styles
from .pieces import BARE, Rule, markup, para, unbroken

# Points from the edge of the text to the words beside their label.
LABEL_WIDTH = 90
SIGNATURE_WIDTH = 190


class LetterPaper(Paper):
    """A page without a margin: the labels stand before the text, which runs to the edge."""

    margin = 0

    @property
    def label(self) -> float:
        """How far the text stands in beside its labels; in large print they stand above it."""
        return 0 if self.large else LABEL_WIDTH


def heads(
    to: list[Flowable], clinic: ClinicContact, on: datetime.date, look: Styles, paper: LetterPaper
) -> Table:
    """Whom it is for, and beside it from where and of which day it is."""
    right = ParagraphStyle("sender", look.cell, alignment=2)
    sender = (*rows(clinic.address), unbroken(clinic.phone), written(on))
    third = paper.width / 3
    return Table(
        [[to, [para(line, right) for line in sender]]],
        colWidths=[2 * third, third],
        style=TableStyle([*BARE, ("RIGHTPADDING", (0, 0), (0, 0), 12)]),
        hAlign="LEFT",
    )


def rows(text: str) -> Iterator[str]:
    return (line for line in text.splitlines() if line.strip())


def lines(text: str) -> Iterator[str]:
    """What was typed, a paragraph a line: a remark may be longer than a page."""
    return map(markup, rows(text))


def labeled(
    label: str, lines: Iterable[str], look: Styles, paper: LetterPaper
) -> Iterator[Flowable]:
    """Paragraphs with their label before the first one, or above it in large print."""
    style = _beside(look, paper)
    for place, line in enumerate(lines):
        if place:
            yield Paragraph(line, style)
            continue
        yield Spacer(1, paper.scaled(6))
        if not paper.label:
            yield para(label, ParagraphStyle("above", look.note_head, keepWithNext=1))
        yield Paragraph(line, style, bulletText=label if paper.label else None)


def _beside(look: Styles, paper: LetterPaper) -> ParagraphStyle:
    return ParagraphStyle(
        "beside",
        look.cell,
        leftIndent=paper.label,
        spaceAfter=paper.scaled(3),
        bulletFontName=look.note_head.fontName,
    )


def signature(who: str, look: Styles, paper: LetterPaper) -> Iterator[Flowable]:
    """A line to sign on, and under it who signs."""
    under = ParagraphStyle("signed", look.body, leftIndent=paper.label, spaceBefore=4, spaceAfter=0)
    yield Spacer(1, paper.scaled(32))
    yield Line(paper, paper.scaled(SIGNATURE_WIDTH))
    yield para(who, under)


class Line(Rule):
    """A line to write on, under the text and not under its labels."""

    def __init__(self, paper: LetterPaper, width: float):
        super().__init__(min(width, paper.width - paper.label))
        self.shift = paper.label

    def draw(self) -> None:
        self.canv.translate(self.shift, 0)
        super().draw()
