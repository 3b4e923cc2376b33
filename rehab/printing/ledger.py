"""What the sheets of a record share: whom they are about, ruled tables, and where figures come from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import written

from .paper import Paper, Styles
from .pieces import BARE, INK, RULE, Words, markup, name, para, wide

# Of the letter at a figure, in points.
SIZE, RISE = 11, 3
RULED = [
    ("RIGHTPADDING", (0, 0), (-1, -1), 8),
    ("TOPPADDING", (0, 0), (-1, -1), 3),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
    ("LINEABOVE", (0, 1), (-1, -1), 0.6, RULE),
]


@dataclass(frozen=True, kw_only=True)
class Footnote:
    """Where figures come from; `mark` stands at their lines."""

    mark: str
    figures: str
    limits: Words
    source: str
    status: Words


def whose(sheet, look: Styles) -> list[Flowable]:
    """Whom a sheet of the record is about, and which elbow."""
    about = gettext("%(elbow)s · record %(record)s · born %(born)s") % {
        "elbow": markup(sheet.elbow),
        "record": markup(sheet.record),
        "born": markup(written(sheet.born)),
    }
    return [name(sheet.patient, look), Paragraph(about, look.soft)]


def marked(words: Words, mark: str, style: ParagraphStyle) -> Paragraph:
    """Words with the letter that leads to their footnote."""
    return Paragraph(markup(words) + raised(mark), style)


def raised(mark: str) -> str:
    return f"\u00a0<super rise='{RISE}' size='{SIZE}'>{markup(mark)}</super>" if mark else ""


def footnotes(notes: Sequence[Footnote], look: Styles, paper: Paper) -> Iterable[Flowable]:
    if notes:
        yield Spacer(1, paper.scaled(8))
    for note in notes:
        known = (markup(words) for words in (note.limits, note.source, note.status) if words)
        letter = f"{markup(note.mark)}. " if note.mark else ""
        figures = f"<b>{letter}{markup(note.figures)}</b>"
        yield Paragraph(" · ".join((figures, *known)), wide(look.note, paper))


def cell_style(look: Styles, *, right: bool = False) -> ParagraphStyle:
    return ParagraphStyle(
        "cell", look.note, textColor=INK, spaceAfter=0, alignment=2 if right else 0
    )


def table(
    heads: Sequence[str],
    rows: Sequence[Sequence[Flowable]],
    shares: Sequence[float],
    look: Styles,
    paper: Paper,
    *,
    right: Sequence[int] = (),
) -> Table:
    """A table of thin rules, as wide as the page, its head repeated on every page."""
    ended = ParagraphStyle("note_head_end", look.note_head, alignment=2)
    head = [
        para(words, ended if place in right else look.note_head)
        for place, words in enumerate(heads)
    ]
    # The first line of a cell stands on the line of the shape beside it.
    shape = [("TOPPADDING", (0, 1), (0, -1), 6.5)] if not heads[0] else []
    # No row stands alone: neither under the head nor on the next page.
    pairs = [("NOSPLIT", (0, 0), (0, 1)), ("NOSPLIT", (0, -2), (0, -1))] if len(rows) > 1 else []
    apart = [("LEFTPADDING", (place + 1, 0), (place + 1, -1), 10) for place in right[-1:]]
    return Table(
        [head, *rows],
        colWidths=[share * paper.width for share in shares],
        style=TableStyle([*BARE, *RULED, *shape, *pairs, *apart]),
        repeatRows=1,
        hAlign="LEFT",
        spaceBefore=2,
    )
