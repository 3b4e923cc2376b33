"""What the self-check sheet is written on: boxes and scales beside an arm or a finger, and lines."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from cases.clinical.positions import figure
from cases.clinical.sides import Side

from .figures import GAP_MM, LARGE_MM, WIDTH_MM, drawing
from .fonts import REGULAR
from .marks import Blank, Boxes, Scale
from .paper import Paper, Styles
from .pieces import BARE, INK, RULE, para

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


def line(cells: Sequence[Flowable], widths: Sequence[float | None], paper: Paper) -> Table:
    """One line to write on; the cell without a width takes what is left."""
    left = paper.width - sum(filter(None, widths))
    filled = [width or left for width in widths]
    height = [paper.scaled(27)]
    style = TableStyle([*BARE, MIDDLE])
    return Table([list(cells)], colWidths=filled, rowHeights=height, hAlign="LEFT", style=style)


def date_line(look: Styles, paper: Paper) -> Table:
    across = paper.scaled(150)
    cells = [para(gettext("Date"), look.note_head), Blank(across)]
    return line(cells, (paper.scaled(LABEL), None), paper)


def performer_line(look: Styles, paper: Paper) -> Table:
    """With a partner or alone, in the order of the form."""
    side = paper.scaled(12)
    box = side * 1.7
    cells: list[Flowable] = [para(gettext("Tests done"), look.note_head)]
    for label in (gettext("with a partner"), gettext("alone")):
        cells += [Boxes(1, side, 1), para(label, look.cell)]
    return line(cells, (paper.scaled(LABEL), box, paper.scaled(104), box, None), paper)


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


def answer_rows(labels: Iterable[str], look: Styles, paper: Paper) -> list[Flowable]:
    """A row an answer with four boxes and the scale; it reaches across the whole paper."""
    if paper.large:
        return [_large_row(label, look, paper) for label in labels]
    scale = paper.width - LABEL - len(choices()) * BOX
    head = [para(word, look.note_head) for word in ("", *choices(), gettext("How strong, 0–10"))]
    rows = [
        [para(label, look.cell), *(Boxes(1, 12, 1) for _ in choices()), Scale(scale - 4, 12)]
        for label in labels
    ]
    style = TableStyle(
        [
            *BARE,
            ("FONTNAME", (0, 0), (-1, -1), REGULAR),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 1), (-1, -1), 4),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
            ("LINEBELOW", (0, 1), (-1, -1), 0.6, RULE),
        ]
    )
    widths = [LABEL, *[BOX] * len(choices()), scale]
    return [Table([head, *rows], colWidths=widths, repeatRows=1, style=style, hAlign="LEFT")]


def _large_row(label: str, look: Styles, paper: Paper) -> Flowable:
    """In large print an answer takes four lines: whose it is, two of boxes, the scale."""
    half, box = paper.width / 2, 30
    none, known, other, left_out = ([Boxes(1, 18, 1), para(word, look.cell)] for word in choices())
    ticks = Table(
        [[*none, *known], [*other, *left_out]],
        colWidths=[box, half - box] * 2,
        rowHeights=[30, 30],
        style=TableStyle([*BARE, MIDDLE]),
        hAlign="LEFT",
    )
    strength = [para(gettext("How strong"), look.cell), Scale(paper.width - 112, 18)]
    return KeepTogether(
        [
            para(label, look.note_head),
            ticks,
            line(strength, (112, None), paper),
            Spacer(1, 8),
        ]
    )


def remark(look: Styles, paper: Paper) -> list[Flowable]:
    """Two lines for what the boxes can't say."""
    ask = para(gettext("Other pain: where? Not done: why?"), look.cell)
    gap = Spacer(1, paper.scaled(6))
    return [gap, ask, Blank(paper.width), gap, Blank(paper.width), gap]
