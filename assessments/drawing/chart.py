"""One measure over time, laid out: what it shows becomes lines, areas, markers and words."""

from collections.abc import Iterator

from assessments.charts import Chart, Dated
from clinic.templatetags.clinic_tags import number, say

from . import plot as shared
from .labels import OFF_LINE, Labels, around
from .plot import Plot
from .primitives import Anchor, Drawing, Marker, Path, Point, Role, Shape, Text
from .scale import PAGE, Frame, Scale, ticks
from .widths import text_width

# Of the size of the type: from the plot's foot to the words under it, and what the rows there take.
DATES, UNTREATED, BELOW = 1.65, 0.75, 0.45
# A thin line apart from the words at it.
ABOVE, UNDER = 0.6, 1.08
# How much further off a point its figure is tried, where there is no room at it.
FURTHER = (0, 0.5, 1, 1.5, 2, 3, 4.5, 6)


def draw(chart: Chart, frame: Frame = PAGE) -> Drawing:
    """Return the chart on a sheet of `frame`'s width and as high as it needs."""
    values = ticks(chart.low, chart.high, reach=chart.reach, places=chart.places or 0)
    plot, height = _sheet(chart, frame, values)
    _ground(plot, chart, values)
    series = _lines(plot, chart)
    _points(plot, chart, series)
    _words(plot, chart, series)
    return Drawing(
        width=frame.width,
        height=height,
        title=chart.title,
        description=chart.description,
        primitives=plot.primitives,
    )


def _sheet(chart: Chart, frame: Frame, values: tuple[float, ...]) -> tuple[Plot, float]:
    size = frame.text
    above = shared.head(frame, chart.spans, chart.marks)
    top = above.end + 0.6 * size
    bottom = top + frame.plot
    height = bottom + (DATES + BELOW) * size
    if any(chart.first <= row.day <= chart.last for row in chart.waited):
        height += (UNTREATED + 1.4) * size
    left = max(text_width(words, size) for words in _figures(chart, values)) + 0.8 * size
    newest = text_width(_figure(chart, chart.points[-1][1]), size, strong=True)
    scale = Scale(
        left=round(left, 1),
        right=round(frame.width - newest - 1.1 * size, 1),
        top=round(top, 1),
        bottom=round(bottom, 1),
        first=chart.first,
        days=max((chart.last - chart.first).days, 1),
        low=values[0],
        high=values[-1],
    )
    labels = Labels.on(frame.width, height)
    return Plot(frame=frame, scale=scale, labels=labels), round(height, 1)


def _ground(plot: Plot, chart: Chart, values: tuple[float, ...]) -> None:
    """What lies under the values: stages, error, grid, targets, marks, and the row of the untreated."""
    scale, size = plot.scale, plot.frame.text
    above = shared.head(plot.frame, chart.spans, chart.marks)
    shared.shade(plot, chart.spans, name_at=above.stages)
    _error_band(plot, chart)
    for place, value in enumerate(values):
        across = ((scale.left, scale.y(value)), (scale.right, scale.y(value)))
        plot.draw(Path(points=across, role=Role.AXIS if place == 0 else Role.GRID))
    for target in chart.targets:
        across = ((scale.left, scale.y(target.value)), (scale.right, scale.y(target.value)))
        plot.draw(Path(points=across, role=Role.TARGET))
    shared.marks(plot, chart.marks, above.lanes)
    under = scale.bottom + (DATES + UNTREATED) * size
    shared.untreated(plot, chart.waited, y=round(under, 1))
    for words, value in zip(_figures(chart, values), values, strict=True):
        at = scale.left - 0.5 * size, scale.y(value) + 0.34 * size
        plot.labels.place([plot.text(*at, words, Anchor.END)])


def _figures(chart: Chart, values: tuple[float, ...]) -> list[str]:
    """The figures at the axis; the unit stands once, at the highest."""
    places = max(_places(value) for value in values)
    found = [number(value, places) for value in values]
    return [*found[:-1], f"{found[-1]} {say(chart.unit)}".strip()]


def _places(value: float) -> int:
    return next(places for places in range(7) if round(value, places) == round(value, 6))


def _figure(chart: Chart, value: float) -> str:
    return number(value, chart.places)


def _error_band(plot: Plot, chart: Chart) -> None:
    if not chart.error:
        return
    left, right = plot.scale.left, plot.scale.right
    for y in shared.error_band(plot, chart.points[0][1], chart.error):
        plot.draw(Path(points=((left, y), (right, y)), role=Role.ERROR_EDGE))


def _lines(plot: Plot, chart: Chart) -> tuple[Point, ...]:
    """Draw the lines through the values; return the corners of the measure's own."""
    series = at(plot.scale, chart.points)
    slope = at(plot.scale, (chart.slope.start, chart.slope.end)) if chart.slope else ()
    every = (
        (at(plot.scale, chart.beside), Role.OTHER_SIDE),
        (slope, Role.SLOPE),
        (series, Role.SERIES),
    )
    for points, role in every:
        if len(points) > 1:
            plot.draw(Path(points=points, role=role))
            plot.labels.keep_clear_of_line(points)
    return series


def at(scale: Scale, points: tuple[Dated, ...]) -> tuple[Point, ...]:
    return tuple((scale.x(day), scale.y(value)) for day, value in points)


def _points(plot: Plot, chart: Chart, series: tuple[Point, ...]) -> None:
    dot = plot.frame.dot
    for point in series:
        plot.draw(Marker(at=point, shape=Shape.DOT, size=dot, role=Role.POINT))
        plot.labels.keep_clear(around(point, dot))
    if len(chart.beside) == 1:
        (alone,) = at(plot.scale, chart.beside)
        plot.draw(Marker(at=alone, shape=Shape.RING, size=dot, role=Role.OTHER_SIDE))
        plot.labels.keep_clear(around(alone, dot))


def _words(plot: Plot, chart: Chart, series: tuple[Point, ...]) -> None:
    """Write at the lines what they are, the most needed first; what finds no room is in the captions."""
    scale, size = plot.scale, plot.frame.text
    newest = _figure(chart, chart.points[-1][1])
    plot.labels.place(_round(plot, series[-1], newest, Role.VALUE))
    foot = ((scale.left, scale.bottom), (scale.right, scale.bottom))
    plot.labels.keep_clear_of_line(foot)
    days = {day for day, _value in chart.points}
    shared.dates(plot, days, y=round(scale.bottom + DATES * size, 1))
    if len(series) > 1:
        start = _figure(chart, chart.points[0][1])
        plot.labels.place(list(_round(plot, series[0], start, Role.LABEL))[1:])
    if chart.beside:
        end = at(scale, chart.beside)[-1]
        plot.labels.place(_along(plot, (chart.beside_label,), end[1], until=end[0]))
    for target in chart.targets:
        plot.labels.place(_along(plot, target.words, scale.y(target.value)))
    if chart.slope:
        plot.labels.place(_at_slope(plot, chart))
    if chart.error:
        plot.labels.place(_in_band(plot, chart))


def _round(plot: Plot, point: Point, words: str, role: Role) -> Iterator[Text]:
    """Right of a point, or above or below it; where marks and lines crowd it, further off."""
    (x, y), size = point, plot.frame.text
    for far in FURTHER:
        # A line that falls steeply to the point takes more room than the point does on paper.
        apart = max(plot.frame.dot, OFF_LINE) + (0.35 + far) * size
        yield plot.text(x + apart, y + 0.34 * size, words, role=role)
        above, below = y - apart, y + apart + 0.72 * size
        for line in (above, below) if below < plot.scale.bottom else (above,):
            for anchor in (Anchor.MIDDLE, Anchor.START, Anchor.END):
                yield plot.text(x, line, words, anchor, role)


def _along(
    plot: Plot, wordings: tuple[str, ...], y: float, *, until: float | None = None
) -> Iterator[Text]:
    """At a level line: over or under it, at its end, its beginning or on the way."""
    scale, size = plot.scale, plot.frame.text
    right = scale.right if until is None else until
    for words in wordings:
        for line in (y - ABOVE * size, y + UNDER * size):
            for share in (1, 0.75, 0.5):
                x = scale.left + share * (right - scale.left)
                yield plot.text(x, line, words, Anchor.END)
            yield plot.text(scale.left + 3, line, words)


def _at_slope(plot: Plot, chart: Chart) -> Iterator[Text]:
    (x0, y0), (x1, y1) = at(plot.scale, (chart.slope.start, chart.slope.end))
    size = plot.frame.text
    for words in chart.slope.words:
        # As far from the line as half of the words rises or falls along it.
        rise = abs((y1 - y0) / max(x1 - x0, 1)) * text_width(words, size) / 2
        for share in (0.5, 0.3, 0.7):
            x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
            for line in (y - rise - 2 * ABOVE * size, y + rise + 1.4 * UNDER * size):
                yield plot.text(x, line, words, Anchor.MIDDLE)


def _in_band(plot: Plot, chart: Chart) -> Iterator[Text]:
    """Inside the band, first on the side that the line has left."""
    scale, size, first = plot.scale, plot.frame.text, chart.points[0][1]
    top = scale.y(first + chart.error) + UNDER * size
    bottom = scale.y(first - chart.error) - ABOVE * size
    rising = chart.points[-1][1] >= first
    for words in chart.error_words:
        for y in (bottom, top) if rising else (top, bottom):
            yield plot.text(scale.right - 4, y, words, Anchor.END)
            yield plot.text((scale.left + scale.right) / 2, y, words, Anchor.MIDDLE)
            yield plot.text(scale.left + 4, y, words)
