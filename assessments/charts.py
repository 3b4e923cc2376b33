"""One measure over time as a line chart: plain data in, SVG text out.

Numbers and words only, no style attributes; the classes belong to the page's style sheet.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from clinic.templatetags.clinic_tags import written

Dated = tuple[datetime.date, float]

WIDTH, HEIGHT = 800, 280
LEFT, RIGHT, TOP, BOTTOM = 56, 784, 44, 236
# Dates closer than this would be written over each other.
LABEL_WIDTH = 96


@dataclass(frozen=True, kw_only=True)
class Span:
    """A stretch of time with its name, for shading; `until` None runs to the end of the chart."""

    label: str
    since: datetime.date
    until: datetime.date | None = None


@dataclass(frozen=True, kw_only=True)
class Chart:
    """What a chart shows. `error` is drawn around the first value; `beside` is a second, dashed line."""

    title: str
    unit: str
    points: tuple[Dated, ...]
    description: str = ""
    low: float = 0
    high: float | None = None
    places: int = 0
    error: float | None = None
    error_label: str = ""
    beside: tuple[Dated, ...] = ()
    beside_label: str = ""
    spans: tuple[Span, ...] = ()

    @property
    def rows(self) -> tuple[tuple[datetime.date, float, float | None], ...]:
        """The same values for a table: day, value, and the second line's value of that day."""
        beside = dict(self.beside)
        return tuple((day, value, beside.get(day)) for day, value in self.points)

    @property
    def svg(self) -> SafeString:
        return draw(self)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """Where a day and a value stand on the drawing."""

    first: datetime.date
    days: int
    low: float
    high: float

    def x(self, day: datetime.date) -> float:
        share = (day - self.first).days / self.days
        return round(LEFT + min(max(share, 0), 1) * (RIGHT - LEFT), 1)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return round(BOTTOM - min(max(share, 0), 1) * (BOTTOM - TOP), 1)


def draw(chart: Chart) -> SafeString:
    """Return the chart as one `<svg>`. Raises ValueError without any point."""
    if not chart.points:
        raise ValueError("a chart needs at least one point")
    scale = scale_of(chart)
    layers = (
        *_shading(chart, scale),
        *_grid(chart, scale),
        *_error_band(chart, scale),
        *_line(chart.beside, scale, "untreated"),
        *_beside_label(chart, scale),
        *_line(chart.points, scale, "series"),
        *_points(chart, scale),
        *_days(chart, scale),
    )
    return format_html(
        '<svg class="chart" viewBox="0 0 {} {}" role="img"><title>{}</title><desc>{}</desc>{}</svg>',
        WIDTH,
        HEIGHT,
        chart.title,
        chart.description,
        format_html_join("", "{}", ((layer,) for layer in layers)),
    )


def scale_of(chart: Chart) -> Scale:
    """Return the scale that holds all days and values, with room for the error band."""
    days = [day for day, _value in (*chart.points, *chart.beside)]
    days += [day for span in chart.spans for day in (span.since, span.until) if day]
    values = [value for _day, value in (*chart.points, *chart.beside)]
    if chart.error:
        values.append(chart.points[0][1] + chart.error)
    length = max((max(days) - min(days)).days, 1)
    high = chart.high or _round_up(max(values) - chart.low) + chart.low
    return Scale(first=min(days), days=length, low=chart.low, high=high)


def _round_up(value: float) -> float:
    """The next value that divides into quarters that people can read."""
    step = 1.0
    while step * 10 <= value:
        step *= 10
    while step > value > 0:
        step /= 10
    return next((step * m for m in (1, 2, 4, 8) if step * m >= value), step * 10)


def _shading(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    for place, span in enumerate(chart.spans):
        left = scale.x(span.since)
        right = scale.x(span.until) if span.until else RIGHT
        if place % 2 == 0:
            yield format_html(
                '<rect class="stage-shade" x="{}" y="{}" width="{}" height="{}"/>',
                left,
                TOP,
                round(right - left, 1),
                BOTTOM - TOP,
            )
        # Two heights, so that the names of short stretches do not run into each other.
        yield _text(left + 4, TOP - (8 if place % 2 == 0 else 24), span.label)


def _grid(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    quarter = (scale.high - scale.low) / 4
    places = chart.places if quarter == round(quarter, chart.places) else chart.places + 1
    for number in range(5):
        value = scale.low + number * quarter
        y = scale.y(value)
        kind = "axis" if number == 0 else "grid"
        yield format_html('<path class="{}" d="M{} {}H{}"/>', kind, LEFT, y, RIGHT)
        unit = f" {chart.unit}" if number == 4 and chart.unit else ""
        yield _text(LEFT - 8, y + 5, f"{value:.{places}f}{unit}", anchor="end")


def _error_band(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    if not chart.error:
        return
    first = chart.points[0][1]
    top, bottom = scale.y(first + chart.error), scale.y(first - chart.error)
    yield format_html(
        '<rect class="error-band" x="{}" y="{}" width="{}" height="{}" fill="currentColor" '
        'fill-opacity="0.07"/>',
        LEFT,
        top,
        RIGHT - LEFT,
        round(bottom - top, 1),
    )
    yield format_html('<path class="band" d="M{0} {2}H{1}M{0} {3}H{1}"/>', LEFT, RIGHT, top, bottom)
    # Inside the band, on the side that the line has left.
    rising = chart.points[-1][1] >= first
    yield _text(RIGHT - 4, bottom - 7 if rising else top + 17, chart.error_label, anchor="end")


def _line(points: tuple[Dated, ...], scale: Scale, kind: str) -> Iterator[SafeString]:
    if len(points) > 1:
        path = "L".join(f"{scale.x(day)} {scale.y(value)}" for day, value in points)
        yield format_html('<path class="{}" d="M{}"/>', kind, path)


def _beside_label(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    if chart.beside:
        _day, value = chart.beside[-1]
        yield _text(RIGHT - 4, scale.y(value) - 8, chart.beside_label, anchor="end")


def _points(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    for day, value in chart.points:
        yield format_html(
            '<circle class="point" cx="{}" cy="{}" r="5"/>', scale.x(day), scale.y(value)
        )


def _days(chart: Chart, scale: Scale) -> Iterator[SafeString]:
    for day in labelled_days(chart, scale):
        x = scale.x(day)
        anchor = "start" if x == LEFT else "end" if x == RIGHT else "middle"
        yield format_html('<path class="axis" d="M{} {}v6"/>', x, BOTTOM)
        yield _text(x, BOTTOM + 26, written(day), anchor=anchor)


def labelled_days(chart: Chart, scale: Scale) -> tuple[datetime.date, ...]:
    """Return the days that are written under the axis: the first, the last, and those that fit between."""
    days = sorted({day for day, _value in chart.points})
    kept = days[:1]
    for day in days[1:]:
        clear_of_last = day == days[-1] or scale.x(days[-1]) - scale.x(day) >= LABEL_WIDTH
        if scale.x(day) - scale.x(kept[-1]) >= LABEL_WIDTH and clear_of_last:
            kept.append(day)
    return tuple(kept)


def _text(x: float, y: float, words: str, *, anchor: str = "start") -> SafeString:
    return format_html('<text x="{}" y="{}" text-anchor="{}">{}</text>', x, y, anchor, words)
