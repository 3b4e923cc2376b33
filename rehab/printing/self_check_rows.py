"""What the self-check sheet is written on: boxes and scales beside an arm or a finger, and lines."""

from collections.abc import Sequence

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table, TableStyle

from cases.clinical.positions import figure
from cases.clinical.sides import Side

from .figures import GAP_MM, LARGE_MM, WIDTH_MM, drawing
from .fonts import REGULAR
from .marks import Blank, Boxes, Scale
from .paper import Paper, Styles
from .pieces import BARE, INK, RULE, across, para

LABEL, BOX = 112, 56
MIDDLE = ("VALIGN", (0, 0), (-1, -1), "MIDDLE")
UNDER_EACH = ("LINEBELOW", (0, 0), (-1, -1), 0.6, RULE)


def choices() -> tuple[str, ...]:
    """The answers in the order of the battery's form."""
    return (
        gettext("No pain"),
        gettext("The pain I know"),
        gettext("Other pain"),
        gettext("Not done"),
    )


def positions(code: str, side: Side, look: Styles, paper: Paper) -> Table:
    """Start and test position of one arm side by side, each with its word below."""
    width = LARGE_MM if paper.large else WIDTH_MM
    words = (("start", gettext("Start")), ("end", gettext("Test")))
    cells = [
        [drawing(figure(code, phase, side), width), para(word, look.note_head)]
        for phase, word in words
    ]
    return Table([cells], colWidths=[(width + GAP_MM) * mm] * 2, style=BARE, hAlign="LEFT")


def line(
    cells: Sequence[Flowable],
    widths: Sequence[float | None],
    paper: Paper,
    *,
    height: float | None = None,
) -> Table:
    """One line to write on; the cell without a width takes what is left."""
    left = paper.width - sum(filter(None, widths))
    filled = [width or left for width in widths]
    style = TableStyle([*BARE, MIDDLE])
    return Table(
        [list(cells)],
        colWidths=filled,
        rowHeights=[height or paper.scaled(25)],
        hAlign="LEFT",
        style=style,
    )


def done_lines(look: Styles, paper: Paper) -> list[Table]:
    """With a partner or alone, in the order of the form, and on which day."""
    side = paper.scaled(12)
    who: list[tuple[Flowable, float | None]] = [_labelled(gettext("Tests done"), look, paper)]
    for label in (gettext("with a partner"), gettext("alone")):
        taken = across(label, look.cell) + paper.scaled(10)
        who += [(Boxes(1, side, 1), side * 1.7), (para(label, look.cell), taken)]
    day = [_labelled(gettext("Date"), look, paper), (Blank(paper.scaled(100)), None)]
    lines = [[*who, ("", None)], day] if paper.large else [[*who, *day]]
    return [line(*zip(*cells, strict=True), paper) for cells in lines]


def _labelled(label: str, look: Styles, paper: Paper) -> tuple[Flowable, float]:
    return para(label, look.note_head), across(label, look.cell) + paper.scaled(12)


def rating(label: str, look: Styles, paper: Paper) -> Flowable:
    """A label and the scale, in one line where there is room."""
    if paper.large:
        return _label_above(label, look, paper)
    scale = Scale(paper.width - 2 * LABEL, 12)
    cells = [[para(label, look.cell), scale]]
    widths = [2 * LABEL, scale.across]
    pads = [("TOPPADDING", (0, 0), (-1, -1), 5), ("BOTTOMPADDING", (0, 0), (-1, -1), 5)]
    style = TableStyle([*BARE, MIDDLE, UNDER_EACH, *pads])
    return Table(cells, colWidths=widths, style=style, hAlign="LEFT")


def _label_above(label: str, look: Styles, paper: Paper) -> Table:
    """A table and not parts kept together: those would not fit into a block that is kept together."""
    cells = [[para(label, look.cell)], [Scale(paper.width, 18)]]
    style = TableStyle(
        [*BARE, ("TOPPADDING", (0, 1), (0, 1), 8), ("BOTTOMPADDING", (0, 1), (0, 1), 14)]
    )
    return Table(cells, colWidths=[paper.width], style=style, hAlign="LEFT")


def answer_rows(labels: Sequence[str], look: Styles, paper: Paper) -> list[Flowable]:
    """A row an answer with four boxes and the scale; it reaches across the whole paper."""
    if paper.large:
        return [_large_row(label, look, paper) for label in labels]
    label = max(LABEL, *(across(words, look.cell) for words in labels))
    scale = paper.width - label - len(choices()) * BOX
    head = [para(word, look.note_head) for word in ("", *choices(), gettext("How strong, 0–10"))]
    rows = [
        [para(words, look.cell), *(Boxes(1, 12, 1) for _ in choices()), Scale(scale - 4, 12)]
        for words in labels
    ]
    style = TableStyle(
        [
            *BARE,
            ("FONTNAME", (0, 0), (-1, -1), REGULAR),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 1), (-1, -1), 3.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
            ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
            ("LINEBELOW", (0, 1), (-1, -1), 0.6, RULE),
        ]
    )
    widths = [label, *[BOX] * len(choices()), scale]
    return [Table([head, *rows], colWidths=widths, repeatRows=1, style=style, hAlign="LEFT")]


def _large_row(label: str, look: Styles, paper: Paper) -> Table:
    """In large print an answer takes lines of its own: whose it is, the boxes, the scale."""
    asked = para(gettext("How strong"), look.cell)
    strength = line([asked, Scale(paper.width - LABEL, 18)], (LABEL, None), paper, height=33)
    cells = [[para(label, look.note_head)], [_ticks(look, paper)], [strength]]
    style = TableStyle([*BARE, ("BOTTOMPADDING", (0, -1), (-1, -1), 8)])
    return Table(cells, colWidths=[paper.width], style=style, hAlign="LEFT", splitByRow=0)


def _ticks(look: Styles, paper: Paper) -> Table:
    """The four boxes in one line where their words fit, otherwise in two."""
    box = 28
    needed = [box + across(word, look.cell) for word in choices()]
    spare = (paper.width - sum(needed)) / len(needed)
    count = len(needed) if spare >= 0 else len(needed) // 2
    widths = [each + spare for each in needed] if spare >= 0 else [paper.width / count] * count
    cells = [cell for word in choices() for cell in (Boxes(1, 18, 1), para(word, look.cell))]
    rows = [cells[first : first + 2 * count] for first in range(0, len(cells), 2 * count)]
    return Table(
        rows,
        colWidths=[part for width in widths for part in (box, width - box)],
        rowHeights=[30] * len(rows),
        style=TableStyle([*BARE, MIDDLE]),
        hAlign="LEFT",
    )


def remark(look: Styles, paper: Paper) -> Table:
    """Two lines for what the boxes can't say, the first behind the question."""
    ask = gettext("Other pain: where? Not done: why?")
    asked, height = across(ask, look.cell), paper.scaled(21.5)
    return Table(
        [[para(ask, look.cell), Blank(paper.width - asked)], [Blank(paper.width), ""]],
        colWidths=[asked, paper.width - asked],
        rowHeights=[height, height],
        style=TableStyle([*BARE, ("VALIGN", (0, 0), (-1, -1), "BOTTOM")]),
        hAlign="LEFT",
        splitByRow=0,
    )
