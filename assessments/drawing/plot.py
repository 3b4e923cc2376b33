"""What every drawing over time shares: stages, marks, dates and the row of those who were not treated."""

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from assessments.charts import Mark, MarkKind, Span, Waited
from clinic.templatetags.clinic_tags import written

from .labels import Labels, around
from .primitives import Anchor, Marker, Path, Primitive, Rect, Role, Shape, Text
from .scale import Frame, Scale

SHAPES = {MarkKind.INJECTION: Shape.TRIANGLE, MarkKind.FLARE: Shape.SQUARE}
# Of the size of the type.
ROW, GAP, MARKER = 1.5, 0.45, 0.34


@dataclass
class Plot:
    """A drawing while it is made: where things stand, what is drawn, and which words are set."""

    frame: Frame
    scale: Scale
    labels: Labels
    items: list[Primitive] = field(default_factory=list)

    @property
    def gap(self) -> float:
        return GAP * self.frame.text

    def draw(self, *items: Primitive) -> None:
        self.items += items

    def text(
        self,
        x: float,
        y: float,
        words: str,
        anchor: Anchor = Anchor.START,
        role: Role = Role.LABEL,
    ) -> Text:
        return Text(
            x=round(x, 1),
            y=round(y, 1),
            words=words,
            size=self.frame.text,
            anchor=anchor,
            role=role,
        )

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """All that is drawn; words last, over everything."""
        return (*self.items, *self.labels.texts)


@dataclass(frozen=True, kw_only=True)
class Head:
    """Where the rows above a plot lie: the names of the stages, and one row a kind of mark."""

    stages: float
    lanes: dict[MarkKind, float]
    end: float


def head(frame: Frame, spans: tuple[Span, ...], marks: tuple[Mark, ...]) -> Head:
    size, y = frame.text, 0.2 * frame.text
    stages = y + size
    y += ROW * size if spans else 0
    lanes = {}
    for kind in MarkKind:
        if any(mark.kind is kind for mark in marks):
            lanes[kind] = y + 0.6 * size
            y += 1.3 * size
    return Head(stages=stages, lanes=lanes, end=y)


def shade(plot: Plot, spans: tuple[Span, ...], *, name_at: float) -> None:
    """Shade every other stage, and write each name at the beginning of its stage where it fits."""
    scale = plot.scale
    for place, span in enumerate(spans):
        left = scale.x(span.since)
        right = scale.x(span.until) if span.until else scale.right
        if right <= left:
            continue
        if place % 2 == 0:
            height = scale.bottom - scale.top
            width = round(right - left, 1)
            plot.draw(Rect(x=left, y=scale.top, width=width, height=height, role=Role.STAGE_SHADE))
        names = (plot.text(left + 3, name_at, words) for words in (span.label, span.short))
        plot.labels.place(name for name in names if left + 3 + name.width <= right)


def error_band(plot: Plot, first: float, error: float) -> tuple[float, float]:
    """Shade what lies within the error of the first value; return the upper and the lower edge."""
    scale = plot.scale
    top, bottom = scale.y(first + error), scale.y(first - error)
    width, height = round(scale.right - scale.left, 1), round(bottom - top, 1)
    plot.draw(Rect(x=scale.left, y=top, width=width, height=height, role=Role.ERROR_BAND))
    return top, bottom


def marks(plot: Plot, given: tuple[Mark, ...], lanes: dict[MarkKind, float]) -> None:
    """Draw each mark in the row of its kind; an injection has a line down through the values."""
    size = MARKER * plot.frame.text
    shown = [mark for mark in given if plot.scale.covers(mark.day)]
    for mark in shown:
        at = plot.scale.x(mark.day), round(lanes[mark.kind], 1)
        if mark.kind is MarkKind.INJECTION:
            way = ((at[0], round(at[1] + size, 1)), (at[0], plot.scale.bottom))
            plot.draw(Path(points=way, role=Role.MARK_LINE))
        plot.draw(Marker(at=at, shape=SHAPES[mark.kind], size=size, role=Role.MARK))
        plot.labels.keep_clear(around(at, size))
    for (kind, label), days in _together(shown).items():
        plot.labels.place(_beside(plot, days, lanes[kind], label))


def _together(shown: Iterable[Mark]) -> dict[tuple[MarkKind, str], list[datetime.date]]:
    found: dict[tuple[MarkKind, str], list[datetime.date]] = {}
    for mark in shown:
        found.setdefault((mark.kind, mark.label), []).append(mark.day)
    return found


def _beside(plot: Plot, days: list[datetime.date], y: float, words: str) -> Iterator[Text]:
    """After the last of the marks, before the first, or wherever there is room between them."""
    reach, line = 0.65 * plot.frame.text, y + 0.34 * plot.frame.text
    for day in sorted(days, reverse=True):
        yield plot.text(plot.scale.x(day) + reach, line, words)
    for day in sorted(days):
        yield plot.text(plot.scale.x(day) - reach, line, words, Anchor.END)


def dates(plot: Plot, days: Iterable[datetime.date], *, y: float) -> None:
    """Write days under the axis: the last, the first, and of the others those that fit between."""
    scale, ordered = plot.scale, sorted({day for day in days if plot.scale.covers(day)})
    for day in ordered:
        x = scale.x(day)
        end = round(scale.bottom + plot.gap, 1)
        plot.draw(Path(points=((x, scale.bottom), (x, end)), role=Role.AXIS))
    for day in dict.fromkeys((*ordered[-1:], *ordered)):
        plot.labels.place(_dated(plot, day, y, anywhere=day in (ordered[0], ordered[-1])))


def _dated(plot: Plot, day: datetime.date, y: float, *, anywhere: bool) -> Iterator[Text]:
    x, words = plot.scale.x(day), written(day)
    middle = plot.text(x, y, words, Anchor.MIDDLE)
    yield middle
    if anywhere:
        half = middle.width / 2
        # At the edge of the sheet the words move inward, but never away from their day.
        for at in (half, plot.frame.width - half, x - half, x + half):
            if abs(at - x) <= half:
                yield plot.text(at, y, words, Anchor.MIDDLE)


def untreated(plot: Plot, waited: tuple[Waited, ...], *, y: float) -> None:
    """Draw the row under the axis: a thin line of time, and a ring at each day with its share."""
    shown = [row for row in waited if plot.scale.covers(row.day)]
    if not shown:
        return
    size, left, right = MARKER * plot.frame.text, plot.scale.left, plot.scale.right
    plot.draw(Path(points=((left, y), (right, y)), role=Role.UNTREATED))
    for row in shown:
        at = plot.scale.x(row.day), y
        plot.draw(Marker(at=at, shape=Shape.RING, size=size, role=Role.UNTREATED))
        plot.labels.keep_clear(around(at, size))
    for row in shown:
        plot.labels.place(_share(plot, row, y + 1.4 * plot.frame.text))


def _share(plot: Plot, row: Waited, y: float) -> Iterator[Text]:
    x = plot.scale.x(row.day)
    for words in row.words:
        yield plot.text(x, y, words, Anchor.MIDDLE)
        yield plot.text(x, y, words, Anchor.END)
        yield plot.text(x, y, words)
        yield plot.text(plot.frame.width, y, words, Anchor.END)
        yield plot.text(0, y, words)
