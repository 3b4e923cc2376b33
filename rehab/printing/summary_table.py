"""The measures of the course summary as a table: a row each, and in large print two."""

from django.utils.translation import gettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Table, TableStyle

from clinic.templatetags.clinic_tags import NOT_MEASURED

from . import summary_words as words
from .ledger import cell_style
from .paper import Paper, Styles
from .pieces import BARE, RULE, markup, para
from .summary_facts import MeasureRow

# Shares of the width of the page. In large print the change stands under the figures: beside them
# every word would break.
WIDTHS = (0.35, 0.075, 0.075, 0.407, 0.093)
LARGE_WIDTHS = (0.7, 0.15, 0.15)
ONCE_WIDTHS = (0.4, 0.1)


def compared(rows: tuple[MeasureRow, ...], look: Styles, paper: Paper) -> Table:
    """Return each measure at the start and now, with its change."""
    if paper.large:
        return _compared_in_large_print(rows, look, paper)
    head = [
        *_figure_heads(look),
        *_heads(look, gettext("Change since the start"), gettext("Reached")),
    ]
    body = [
        [
            *_figures(row, look),
            *_cells(look, words.changed(row), words.reached(row) or NOT_MEASURED),
        ]
        for row in rows
    ]
    gaps = [("RIGHTPADDING", (0, 0), (3, -1), 6), ("LEFTPADDING", (3, 0), (3, -1), 10)]
    lines = [("LINEABOVE", (0, 1), (-1, -1), 0.6, RULE)]
    return _ledger([head, *body], WIDTHS, paper, [*gaps, *lines, *_pairs(len(rows))])


def once(rows: tuple[MeasureRow, ...], look: Styles, paper: Paper) -> Table:
    """Return measures that were taken once: there is nothing to compare them with."""
    body = [[*_cells(look, row.name), _now(row, look)] for row in rows]
    shares = (0.85, 0.15) if paper.large else ONCE_WIDTHS
    return _ledger(body, shares, paper, [("LINEABOVE", (0, 1), (-1, -1), 0.6, RULE)])


def _compared_in_large_print(rows: tuple[MeasureRow, ...], look: Styles, paper: Paper) -> Table:
    body = [
        line
        for row in rows
        for line in (_figures(row, look), [*_cells(look, _change_and_reached(row)), "", ""])
    ]
    firsts = range(1, len(body), 2)
    style = [
        style
        for place in firsts
        for style in (
            ("LINEABOVE", (0, place), (-1, place), 0.6, RULE),
            ("SPAN", (0, place + 1), (-1, place + 1)),
            ("NOSPLIT", (0, place), (-1, place + 1)),
        )
    ]
    return _ledger([_figure_heads(look), *body], LARGE_WIDTHS, paper, style)


def _ledger(rows: list, shares: tuple[float, ...], paper: Paper, style: list) -> Table:
    gaps = [("TOPPADDING", (0, 0), (-1, -1), 1.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5)]
    return Table(
        rows,
        colWidths=[share * paper.width for share in shares],
        style=TableStyle([*BARE, *gaps, *style]),
        repeatRows=int(shares is not ONCE_WIDTHS),
        hAlign="LEFT",
    )


def _pairs(count: int) -> list:
    """No row alone, neither under the head nor on the next page."""
    return [("NOSPLIT", (0, 0), (0, 2)), ("NOSPLIT", (0, -2), (0, -1))] if count > 2 else []


def _figure_heads(look: Styles) -> list[Paragraph]:
    ended = ParagraphStyle("note_head_end", look.note_head, alignment=2)
    figures = [para(head, ended) for head in (gettext("Start"), gettext("Now"))]
    return [*_heads(look, gettext("Measure")), *figures]


def _heads(look: Styles, *heads: str) -> list[Paragraph]:
    return [para(head, look.note_head) for head in heads]


def _cells(look: Styles, *texts: str) -> list[Paragraph]:
    return [para(text, cell_style(look)) for text in texts]


def _figures(row: MeasureRow, look: Styles) -> list[Paragraph]:
    start = para(row.start or NOT_MEASURED, cell_style(look, right=True))
    return [*_cells(look, row.name), start, _now(row, look)]


def _now(row: MeasureRow, look: Styles) -> Paragraph:
    return Paragraph(f"<b>{markup(row.now)}</b>", cell_style(look, right=True))


def _change_and_reached(row: MeasureRow) -> str:
    reached = words.reached(row)
    if not reached:
        return words.changed(row)
    return gettext("%(change)s; reached: %(reached)s") % {
        "change": words.changed(row),
        "reached": reached,
    }
