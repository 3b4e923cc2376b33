"""Several measures on one axis of time: a small plot each, its name on one side, its figures on the other."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assessments.charts import Chart, Overview, Panel
from clinic.templatetags.clinic_tags import number

from . import plot as shared
from .chart import BELOW, DATES, UNTREATED, at
from .labels import Labels
from .plot import Plot
from .primitives import Anchor, Drawing, Marker, Path, Role, Shape
from .scale import PAGE, Frame, Scale, ticks
from .widths import text_width

# In sizes of the type: a sheet with room for columns beside the plots, the columns.
WIDE, NAMES, FIGURES, AXIS = 38, 9.6, 11.4, 2.6
LINE = 1.25


@dataclass(frozen=True, kw_only=True)
class Spacing:
    """How high a plot is and how far from the next, in sizes of the type."""

    high: float
    between: float


USUAL, CLOSE = Spacing(high=3.4, between=1.1), Spacing(high=2.6, between=0.8)


@dataclass(frozen=True, kw_only=True)
class Row:
    """Where one measure lies: its plot, and the lines of words above it on a narrow sheet."""

    panel: Panel
    scale: Scale
    top: float


def draw_overview(overview: Overview, frame: Frame = PAGE, spacing: Spacing = USUAL) -> Drawing:
    """Return all measures, one under the other, on a sheet of `frame`'s width."""
    above = shared.head(frame, overview.spans, overview.marks)
    rows = list(_rows(overview, frame, above.end + 0.4 * frame.text, spacing))
    bottom = rows[-1].scale.bottom
    height = bottom + (DATES + BELOW) * frame.text
    if any(overview.since <= row.day <= overview.until for row in overview.waited):
        height += (UNTREATED + 1.4) * frame.text
    # Stages and marks run through all plots.
    through = replace(rows[0].scale, bottom=bottom)
    whole = Plot(frame=frame, scale=through, labels=Labels.on(frame.width, height))
    shared.shade(whole, overview.spans, name_at=above.stages)
    shared.marks(whole, overview.marks, above.lanes)
    for row in rows:
        _panel(whole, row)
    under = round(bottom + (DATES + UNTREATED) * frame.text, 1)
    shared.untreated(whole, overview.waited, y=under)
    shared.dates(whole, overview.days, y=round(bottom + DATES * frame.text, 1))
    return Drawing(
        width=frame.width,
        height=round(height, 1),
        title=overview.title,
        description=overview.description,
        primitives=whole.primitives,
    )


def _is_wide(frame: Frame) -> bool:
    return frame.width >= WIDE * frame.text


def _rows(overview: Overview, frame: Frame, top: float, spacing: Spacing) -> Iterator[Row]:
    size, wide = frame.text, _is_wide(frame)
    for panel in overview.panels:
        chart = panel.chart
        begin = top if wide else top + LINE * size * len(_above(panel, frame)) + 0.5 * size
        values = ticks(chart.low, chart.high, reach=chart.reach, places=chart.places or 0)
        scale = Scale(
            left=round(((NAMES if wide else 0) + AXIS) * size, 1),
            right=round(frame.width - (FIGURES * size if wide else 0.5 * size), 1),
            top=round(begin, 1),
            bottom=round(begin + _high(panel, frame, spacing) * size, 1),
            first=overview.since,
            days=max((overview.until - overview.since).days, 1),
            low=values[0],
            high=values[-1],
        )
        yield Row(panel=panel, scale=scale, top=top)
        top = scale.bottom + spacing.between * size


def _high(panel: Panel, frame: Frame, spacing: Spacing) -> float:
    """The height of a plot in sizes of the type: the words beside it may take more than it does."""
    if not _is_wide(frame):
        return spacing.high
    lines = max(len(_names(panel, frame.text)), len(_figures(panel, frame.text)))
    return max(spacing.high, LINE * lines - spacing.between / 2)


def _panel(whole: Plot, row: Row) -> None:
    plot = replace(whole, scale=row.scale)
    _axes(plot, row.panel.chart)
    points = at(row.scale, row.panel.chart.points)
    if len(points) > 1:
        plot.draw(Path(points=points, role=Role.SERIES))
    for place, point in enumerate(points):
        end = place in (0, len(points) - 1)
        size, role = (0.9, Role.POINT) if end else (0.45, Role.VISIT)
        plot.draw(Marker(at=point, shape=Shape.DOT, size=size * plot.frame.dot, role=role))
    _words(plot, row)


def _axes(plot: Plot, chart: Chart) -> None:
    scale, size = plot.scale, plot.frame.text
    if chart.error:
        shared.error_band(plot, chart.points[0][1], chart.error)
    for value, role in ((scale.low, Role.AXIS), (scale.high, Role.GRID)):
        y = scale.y(value)
        plot.draw(Path(points=((scale.left, y), (scale.right, y)), role=role))
        words = number(value, chart.places if value % 1 else 0)
        line = y + (0 if role is Role.AXIS else 0.72) * size
        plot.labels.place([plot.text(scale.left - plot.gap, line, words, Anchor.END)])


def _words(plot: Plot, row: Row) -> None:
    panel, size = row.panel, plot.frame.text
    if _is_wide(plot.frame):
        middle = (row.scale.top + row.scale.bottom) / 2
        _column(plot, 0, middle, _names(panel, size))
        _column(plot, row.scale.right + 0.8 * size, middle, _figures(panel, size))
        return
    for place, (words, role) in enumerate(_above(panel, plot.frame)):
        line = row.top + (0.9 + LINE * place) * size
        plot.labels.place([plot.text(0, line, words, role=role)])


def _column(plot: Plot, x: float, middle: float, lines: list[tuple[str, Role]]) -> None:
    size = plot.frame.text
    first = middle - (len(lines) - 1) / 2 * LINE * size + 0.3 * size
    for place, (words, role) in enumerate(lines):
        plot.labels.place([plot.text(x, first + place * LINE * size, words, role=role)])


def _names(panel: Panel, size: float) -> list[tuple[str, Role]]:
    lines = _broken(panel.chart.title, NAMES * size, size, strong=True)
    return [(part, Role.NAME) for part in lines]


def _figures(panel: Panel, size: float) -> list[tuple[str, Role]]:
    room = (FIGURES - 0.8) * size
    figures = _broken(panel.figures, room, size, strong=True)
    change = _broken(panel.change, room, size)
    return [*((part, Role.VALUE) for part in figures), *((part, Role.LABEL) for part in change)]


def _above(panel: Panel, frame: Frame) -> list[tuple[str, Role]]:
    """The words above a plot where there is no room beside it."""
    words = f"{panel.figures}; {panel.change}" if panel.change else panel.figures
    names = _broken(panel.chart.title, frame.width, frame.text, strong=True)
    figures = _broken(words, frame.width, frame.text)
    return [*((part, Role.NAME) for part in names), *((part, Role.LABEL) for part in figures)]


def _broken(words: str, width: float, size: float, *, strong: bool = False) -> list[str]:
    """The words in as many lines as they take; a single word is never broken."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, strong=strong) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
