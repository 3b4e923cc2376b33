"""The parts that sheets are set from: paragraphs, lists, shapes, and a block with its notes beside it."""

import re
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from functools import lru_cache
from xml.sax.saxutils import escape  # nosec B406 # reads no file

from reportlab import platypus
from reportlab.lib.colors import Color, HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import (
    Flowable,
    KeepTogether,
    Spacer,
    Table,
    TableStyle,
)
from reportlab.platypus.paraparser import ParaFrag

from clinic.templatetags.clinic_tags import say
from clinic.wording import Sentence

from .fonts import REGULAR, readable

Words = str | Sentence
INK, SOFT = HexColor("#1d2733"), HexColor("#566373")
# Darker than the hairlines of the screen: office printers drop those.
RULE = HexColor("#a19d90")
LONG_NAME = 24
# Points between the line along the margin and the notes in it.
NOTE_INDENT = 10
# A figure stays on the line of its unit.
UNIT = re.compile(r"(\d) (?=(?:kg|g|ml|s|h|cm|m|N|%|weeks)\b|%)")
MARKED = re.compile("[<&]")
BARE = [
    # A cell without text still names its font; ReportLab's own would be listed and not embedded.
    ("FONTNAME", (0, 0), (-1, -1), REGULAR),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]


class Paragraph(platypus.Paragraph):
    """A paragraph that takes no longer than it must: most of a sheet's time goes into its words.

    Words without markup need no parser, and most of them stand on sheet after sheet, broken into the same
    lines. Tables and frames ask for the lines of each paragraph several times.
    """

    def __init__(self, text: str | None, style: ParagraphStyle, bulletText=None, frags=None, **how):
        self.is_whole = frags is None
        if self.is_whole and text.strip() and not MARKED.search(text):
            frags = [copy(unmarked(style))]
            frags[0].text = " ".join(filter(None, map(str.strip, text.split("\n"))))
        super().__init__(text, style, bulletText, frags, **how)

    def breakLines(self, width: list[float]):
        if self.is_whole:
            return lines_of(self.text, self.style, self.bulletText, tuple(width))
        return super().breakLines(width)


@lru_cache(maxsize=2048)
def lines_of(text: str, style: ParagraphStyle, bullet: str | None, width: tuple[float, ...]):
    """Words broken into lines. Nobody changes them, so paragraphs may share them."""
    words = Paragraph(text, style, bullet)
    return platypus.Paragraph.breakLines(words, list(width))


@lru_cache(maxsize=64)
def unmarked(style: ParagraphStyle) -> ParaFrag:
    """How the parser leaves words of this style that have no markup."""
    (frag,) = platypus.Paragraph("x", style).frags
    return frag


def markup(words: Words) -> str:
    """Return the words in the reader's language, checked and escaped for a Paragraph."""
    text = UNIT.sub("\\1\u00a0", readable(say(words)))
    return escape(text).replace("\n", "<br/>")


def para(words: Words, style: ParagraphStyle, bullet: str | None = None) -> Paragraph:
    return Paragraph(markup(words), style, bulletText=bullet)


@lru_cache(maxsize=128)
def varied(style: ParagraphStyle, **changes) -> ParagraphStyle:
    """The style but for the changes, made once; it keeps its name, so that headings are listed."""
    return ParagraphStyle(style.name, style, **changes)


def wide(style: ParagraphStyle, paper) -> ParagraphStyle:
    """The style for a sheet whose margin is free: wider than the column, not too wide to be read."""
    return varied(style, rightIndent=-paper.margin / 2)


def name(patient: str, look) -> Paragraph:
    """The patient's name, large; one that would fill the page is set smaller."""
    return para(patient, look.name if len(patient) <= LONG_NAME else look.long_name)


def note(label: str, words: Words, look, paper) -> list[Flowable]:
    """A labeled note: label above in the margin, label in the line where notes fold under."""
    if paper.margin:
        return [para(label, look.note_head), para(words, look.note)]
    return [Paragraph(f"<b>{markup(label)}.</b> {markup(words)}", look.body)]


def bullets(items: Iterable[Words], style: ParagraphStyle) -> list[Flowable]:
    return [para(item, style, "•") for item in items]


def numbered(items: Iterable[Words], style: ParagraphStyle) -> list[Flowable]:
    return [para(item, style, f"{number}.") for number, item in enumerate(items, start=1)]


class Shape(Flowable):
    """● settled or held, ◐ watch, ■ too much, ○ not held, ◌ unknown: drawn, the type lacks some."""

    def __init__(self, kind: str, size: float, color: Color):
        super().__init__()
        self.kind, self.size, self.color = kind, size, color

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.size, self.size

    def draw(self) -> None:
        canvas, half = self.canv, self.size / 2
        canvas.setFillColor(self.color)
        canvas.setStrokeColor(self.color)
        canvas.setLineWidth(self.size / 10)
        if self.kind == "square":
            canvas.rect(0, 0, self.size, self.size, stroke=0, fill=1)
            return
        if self.kind == "dotted":
            canvas.setDash(self.size / 8, self.size / 8)
        canvas.circle(half, half, half * 0.95, stroke=1, fill=int(self.kind == "full"))
        if self.kind == "half":
            canvas.wedge(
                half * 0.05, half * 0.05, self.size - half * 0.05, self.size - half * 0.05,
                90, 180, stroke=0, fill=1,
            )  # fmt: skip


class Mark(Flowable):
    """Nothing to see: a place that is listed like a heading, where the title stands in the text."""

    def __init__(self, title: str):
        super().__init__()
        self.title = title

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0, 0

    def draw(self) -> None:
        pass


def across(words: Words, style: ParagraphStyle) -> float:
    """How much of a line the words take in points, with a gap behind them."""
    return stringWidth(say(words), style.fontName, style.fontSize) + style.fontSize / 2


def unbroken(text: str) -> str:
    """A number to dial, kept on one line."""
    return text.replace(" ", "\u00a0")


def together(title: str, parts: Sequence[Flowable], look) -> Flowable:
    """A heading and what it stands for, on one page where that is possible."""
    return KeepTogether([para(title, look.head), *parts])


def stacked(parts: Sequence[Flowable], width: float) -> float:
    """How high the parts stand one under the other on a page, without the space around all of them."""
    taken = after = 0
    for part in _apart(parts):
        before = max(part.getSpaceBefore() - after, 0) if taken else 0
        after = part.getSpaceAfter()
        taken += before + part.wrap(width, 0)[1] + after
    return taken - after


def _apart(parts: Iterable[Flowable]) -> Iterator[Flowable]:
    """What is kept together says that it is taller than any page, so that it is asked to part."""
    for part in parts:
        yield from part._content if isinstance(part, KeepTogether) else (part,)


def ending(blocks: Sequence[Sequence[Flowable]], width: float, height: float) -> list[Flowable]:
    """The blocks that end a sheet: all on one page, or the last with the one before it.

    So neither what ends the sheet nor what opens its end is on a page alone.
    """
    for count in (len(blocks), 2):
        kept = [part for block in blocks[-count:] for part in block]
        if stacked(kept, width) <= height:
            return [*map(KeepTogether, blocks[:-count]), KeepTogether(kept)]
    return [KeepTogether(block) for block in blocks]


class Rule(Flowable):
    """A line across the column and the margin."""

    def __init__(
        self, width: float, *, before: float = 0, thickness: float = 0.6, color: Color = RULE
    ):
        super().__init__()
        self.across, self.thickness, self.color = width, thickness, color
        self.spaceBefore = before

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0, self.thickness

    def draw(self) -> None:
        self.canv.setStrokeColor(self.color)
        self.canv.setLineWidth(self.thickness)
        self.canv.line(0, 0, self.across, 0)


def beside(main: Sequence[Flowable], notes: Sequence[Flowable], paper) -> list[Flowable]:
    """Set `notes` in the margin beside `main`; where the paper has no margin, under it.

    The frame is as wide as the column, so running text keeps out of the margin; a block reaches
    beyond it on purpose.
    """
    if not paper.margin:
        gap = [Spacer(1, paper.scaled(8))] if notes else []
        return [*main, *gap, *notes]
    edge = [("LINEBEFORE", (2, 0), (2, 0), 0.6, RULE)] if notes else []
    inner = [("LEFTPADDING", (2, 0), (2, 0), NOTE_INDENT)]
    block = Table(
        [[list(main), "", list(notes)]],
        colWidths=[paper.column, paper.gutter, paper.margin],
        style=TableStyle(BARE + edge + inner),
        hAlign="LEFT",
    )
    return [block]


def fits_beside(main: Sequence[Flowable], notes: Sequence[Flowable], paper, height: float) -> bool:
    """Whether both stand side by side in so much height: such a block can't be cut by a page's end.

    A long name or another language may need more.
    """
    if not paper.margin:
        return False
    tallest = max(_height(main, paper.column), _height(notes, paper.margin - NOTE_INDENT))
    return tallest <= height


def _height(parts: Sequence[Flowable], width: float) -> float:
    """How much a cell of a table takes for them, which leaves out the space after the last."""
    taken = sum(part.wrap(width, 0)[1] + part.getSpaceAfter() for part in parts)
    return taken - sum(part.getSpaceAfter() for part in parts[-1:])


def titled(
    title: str, main: Sequence[Flowable], notes: Sequence[Flowable], paper, look
) -> list[Flowable]:
    """A heading with its block; notes that fold under it may go on to the next page."""
    if paper.margin:
        return [together(title, beside(main, notes, paper), look)]
    return [together(title, main, look), Spacer(1, paper.scaled(8)), KeepTogether(list(notes))]
