"""The course of a case on paper: all measures on one axis of time, a chart each, and the values."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Paragraph, Spacer, Table

from assessments.charts import Chart, Overview
from assessments.drawing.overview import CLOSE, USUAL
from clinic.templatetags.clinic_tags import number, written

from .charts import chart_drawing, overview_drawing
from .ledger import Footnote, cell_style, footnotes, marked, raised, table, whose
from .paper import Paper, Running, Sheet, Styles, pdf, room, styles
from .pieces import BARE, markup, para, stacked

# As many measures as fit beside the date, and their shares of the width.
ACROSS, DATE_WIDTH = 4, 0.2
REACHED_WIDTHS = (0.43, 0.16, 0.23, 0.18)


@dataclass(frozen=True, kw_only=True)
class ReachedRow:
    """One published important change by name, and whether it was reached."""

    name: str
    mark: str
    asks_for: str
    since_last: str
    since_start: str


@dataclass(frozen=True, kw_only=True)
class MeasureSheet:
    """One measure: its chart, its figures and change in words, and each published figure."""

    chart: Chart
    figures: str
    newest: str
    start: str
    change: str
    mark: str
    reached: tuple[ReachedRow, ...]


@dataclass(frozen=True, kw_only=True)
class CourseSheet(Sheet):
    """Everything the printed course says."""

    born: datetime.date
    elbow: str
    overview: Overview | None
    measures: tuple[MeasureSheet, ...]
    rows: tuple[tuple[datetime.date, tuple[tuple[float | None, int | None], ...]], ...]
    footnotes: tuple[Footnote, ...]


def course_pdf(sheet: CourseSheet) -> bytes:
    """Set the course on A4 in the language in force. Raises CannotPrint for a sign the type lacks."""
    running = Running.of(sheet, gettext("Course"))
    paper = Paper(page=sheet.clinic.page)
    return pdf(course_story(sheet, paper, room(running, paper)), running, paper)


def course_story(sheet: CourseSheet, paper: Paper, height: float) -> list[Flowable]:
    """Return the course as flowables: who, how far, overview, one chart a measure, values, sources.

    `height` is what the first page has room for, in points.
    """
    look = styles(paper.body)
    if sheet.overview is None:
        nothing = gettext("Nothing has been measured in this case yet.")
        return [*whose(sheet, look), para(nothing, look.lead)]
    first = [*whose(sheet, look), _lead(sheet.measures[0], look)]
    return [
        *_overview(sheet.overview, first, look, paper, height),
        *(_measure(measure, look, paper) for measure in sheet.measures),
        *_values(sheet, look, paper),
        *footnotes(sheet.footnotes, look, paper),
    ]


def _lead(first: MeasureSheet, look: Styles) -> Paragraph:
    compared = gettext("%(name)s is <b>%(newest)s</b> and was %(start)s at the start: %(change)s.")
    alone = gettext("%(name)s is <b>%(newest)s</b>. One value: nothing to compare yet.")
    facts = {
        "name": markup(first.chart.title),
        "newest": markup(first.newest),
        "start": markup(first.start),
        "change": markup(first.change),
    }
    return Paragraph((compared if first.start else alone) % facts, look.lead)


def _overview(
    overview: Overview, first: list[Flowable], look: Styles, paper: Paper, height: float
) -> list[Flowable]:
    """The `first` words and all measures: closer together where only so their captions stay with them."""
    before = [*first, para(gettext("All core measures"), look.head)]
    captions = [*_captions(overview.captions, look, paper)]
    usual, close = (
        [*before, overview_drawing(overview, spacing), *captions] for spacing in (USUAL, CLOSE)
    )
    return usual if stacked(usual, paper.column) <= height else close


def _captions(captions: tuple[str, ...], look: Styles, paper: Paper) -> Iterable[Flowable]:
    """The sentences under a drawing, as wide as the drawing is."""
    if captions:
        words = para(" ".join(captions), look.note)
        yield Table([[words]], colWidths=[paper.width], style=BARE, hAlign="LEFT", spaceBefore=4)


def _measure(measure: MeasureSheet, look: Styles, paper: Paper) -> Flowable:
    said = f"<b>{markup(measure.figures)}</b>; {markup(measure.change)}"
    parts = [
        para(measure.chart.title, look.head),
        Paragraph(said + raised(measure.mark), look.body),
        chart_drawing(measure.chart),
        *_captions(measure.chart.captions, look, paper),
        *([_reached(measure.reached, look, paper)] if measure.reached else ()),
    ]
    return KeepTogether(parts)


def _reached(rows: tuple[ReachedRow, ...], look: Styles, paper: Paper) -> Flowable:
    heads = (
        gettext("Published figure"),
        gettext("Asks for"),
        gettext("Since the last time"),
        gettext("Since the start"),
    )
    cell, right = cell_style(look), cell_style(look, right=True)
    cells = [
        [
            marked(row.name, row.mark, cell),
            para(row.asks_for, right),
            para(row.since_last, cell),
            para(row.since_start, cell),
        ]
        for row in rows
    ]
    return table(heads, cells, REACHED_WIDTHS, look, paper, right=(1,))


def _values(sheet: CourseSheet, look: Styles, paper: Paper) -> Iterable[Flowable]:
    """All values, a few measures to a table; a day without a value of them is left out."""
    yield CondPageBreak(paper.scaled(140))
    yield para(gettext("All values"), look.head)
    cell, right = cell_style(look), cell_style(look, right=True)
    every = range(len(sheet.measures))
    for places in (every[first : first + ACROSS] for first in every[::ACROSS]):
        heads = (gettext("Date"), *(_head(sheet.measures[place].chart) for place in places))
        rows = [
            [para(written(day), cell), *(para(number(*values[place]), right) for place in places)]
            for day, values in sheet.rows
            if any(values[place][0] is not None for place in places)
        ]
        shares = (DATE_WIDTH, *[(1 - DATE_WIDTH) / ACROSS] * len(places))
        beside = tuple(range(1, len(places) + 1))
        yield table(heads, rows, shares, look, paper, right=beside)
        yield Spacer(1, paper.scaled(12))


def _head(chart: Chart) -> str:
    return f"{chart.title}, {chart.unit}" if chart.unit else chart.title
