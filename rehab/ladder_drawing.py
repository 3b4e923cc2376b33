"""The picture of a ladder: stages as steps, decisions, loads, and every session in a calendar of weeks.

All four share one axis of time, which begins on a Monday: in the calendar a column is a week and a row a
weekday, so that a mark stays large enough to be told by its shape.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from django.utils.dates import WEEKDAYS_ABBR
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from assessments.drawing import plot as shared
from assessments.drawing.labels import Labels, around
from assessments.drawing.plot import Plot
from assessments.drawing.primitives import (
    Anchor,
    Drawing,
    Marker,
    Path,
    Point,
    Rect,
    Role,
    Shape,
    Text,
)
from assessments.drawing.scale import PAGE, PHONE, Frame, Scale
from assessments.drawing.svg import in_two_widths
from cases.calendar import monday_of
from clinic.templatetags.clinic_tags import number, say
from rehab.clinical.ladder import Stage
from rehab.clinical.sessions import SessionState
from rehab.history import History, Issue
from rehab.models import Decision

# In sizes of the type: the figures at the left, the name above a part, its height, the gap after it.
LEFT, NAME, STAGE, DECISIONS, LOADS, WEEKDAY, GAP = 2.9, 1.5, 1.45, 1.1, 4.2, 0.85, 0.9
WEEK = 7
# From a level line to the words over and under it.
ABOVE, UNDER, BEFORE = 0.55, 1.1, 0.65

MARKS = {
    SessionState.SETTLED: (Shape.DOT, Role.SETTLED),
    SessionState.WATCH: (Shape.HALF, Role.WATCH),
    SessionState.TOO_MUCH: (Shape.SQUARE, Role.TOO_MUCH),
    SessionState.UNCLASSIFIED: (Shape.RING, Role.UNCLASSIFIED),
}
DECIDED = {
    Decision.Choice.MOVE_UP: Shape.UP,
    Decision.Choice.STAY: Shape.DIAMOND,
    Decision.Choice.STEP_BACK: Shape.TRIANGLE,
    Decision.Choice.STOP: Shape.SQUARE,
}


@dataclass(frozen=True, kw_only=True)
class Parts:
    """Where the parts of the picture lie, each from its top to its foot; no loads, no such part."""

    stages: tuple[float, float]
    decisions: tuple[float, float]
    loads: tuple[float, float] | None
    sessions: tuple[float, float]


def picture(history: History) -> SafeString:
    return in_two_widths(draw_ladder(history, PAGE), draw_ladder(history, PHONE))


def draw_ladder(history: History, frame: Frame = PAGE) -> Drawing:
    """Return the ladder of a case on a sheet of `frame`'s width."""
    size, parts = frame.text, _parts(history, frame.text)
    first, bottom = monday_of(history.since), parts.sessions[1]
    last = monday_of(history.until) + datetime.timedelta(days=WEEK)
    height = round(bottom + 2.1 * size, 1)
    plot = Plot(
        frame=frame,
        scale=Scale(
            left=round(LEFT * size, 1),
            right=round(frame.width - 0.5 * size, 1),
            top=parts.stages[0],
            bottom=bottom,
            first=first,
            days=(last - first).days,
            low=0.5,
            high=5.5,
        ),
        labels=Labels.on(frame.width, height),
    )
    _stages(replace(plot, scale=_between(plot.scale, parts.stages)), history)
    _decisions(plot, history, parts.decisions)
    if parts.loads:
        _loads(plot, history, parts.loads)
    _sessions(plot, history, parts.sessions)
    changes = {one.program.stage_since for one in history.issues}
    shared.dates(plot, {history.since, history.until, *changes}, y=round(bottom + 1.65 * size, 1))
    return Drawing(
        width=frame.width,
        height=height,
        title=_("The ladder of this case"),
        description=history.description,
        primitives=plot.primitives,
    )


def _parts(history: History, size: float) -> Parts:
    weighed = any(one.load_kg is not None for one in history.issues)
    heights = [len(Stage) * STAGE, DECISIONS, *([LOADS] if weighed else []), WEEK * WEEKDAY]
    found, y = [], 0.0
    for height in heights:
        top = y + NAME * size
        y = top + height * size
        found.append((round(top, 1), round(y, 1)))
        y += GAP * size
    stages, decisions, *loads, sessions = found
    return Parts(
        stages=stages,
        decisions=decisions,
        loads=loads[0] if loads else None,
        sessions=sessions,
    )


def _between(scale: Scale, part: tuple[float, float]) -> Scale:
    return replace(scale, top=part[0], bottom=part[1])


def _name(plot: Plot, part: tuple[float, float], words: str) -> None:
    plot.labels.place([plot.text(0, part[0] - 0.5 * plot.frame.text, words, role=Role.NAME)])


def _stages(plot: Plot, history: History) -> None:
    """The steps: a level a stage, numbered at the left, named above the step."""
    scale, size = plot.scale, plot.frame.text
    _name(plot, (scale.top, scale.bottom), _("Stage"))
    for stage in Stage:
        y = scale.y(stage)
        plot.draw(Path(points=((scale.left, y), (scale.right, y)), role=Role.GRID))
        number_at = plot.text(scale.left - plot.gap, y + 0.34 * size, str(stage.value), Anchor.END)
        plot.labels.place([number_at])
    for way in _ways(history, lambda one: float(one.stage), scale):
        plot.draw(Path(points=way, role=Role.SERIES))
        plot.labels.keep_clear_of_line(way)
    for one, until in _runs(history):
        x, y = scale.x(one.since), scale.y(one.stage)
        plot.labels.place(_at_step(plot, (x, y), say(one.stage.label), until=scale.x(until)))


def _runs(history: History) -> Iterator[tuple[Issue, datetime.date]]:
    """The first program of each stay in a stage, and the day on which the stay ends."""
    runs = [list(group) for _stage, group in groupby(history.issues, key=lambda one: one.stage)]
    ends = [*(run[0].since for run in runs[1:]), history.until]
    yield from zip((run[0] for run in runs), ends, strict=True)


def _at_step(plot: Plot, at: Point, words: str, *, until: float) -> Iterator[Text]:
    """Over or under a level line, from its beginning on or up to its end, or before it begins."""
    (x, y), size = at, plot.frame.text
    for line in (y - ABOVE * size, y + UNDER * size):
        yield plot.text(x + 4, line, words)
        yield plot.text(until, line, words, Anchor.END)
    yield plot.text(x - BEFORE * size, y - ABOVE * size, words, Anchor.END)


def _ways(history: History, value, scale: Scale) -> Iterator[tuple[Point, ...]]:
    """Lines that go level while a value holds, one for each run of programs without a break."""
    way: list[Point] = []
    ends = [*(one.since for one in history.issues[1:]), history.until]
    for one, end in zip(history.issues, ends, strict=True):
        at = value(one)
        broken = at is None
        if broken and way:
            yield tuple(way)
            way = []
        if not broken:
            stop = min(one.until or end, end)
            way += [(scale.x(one.since), scale.y(at)), (scale.x(stop), scale.y(at))]
            if stop < end:
                yield tuple(way)
                way = []
    if way:
        yield tuple(way)


def _decisions(plot: Plot, history: History, part: tuple[float, float]) -> None:
    """A mark a decision: up, back, stay or stop, and a dotted line to the steps above."""
    _name(plot, part, _("Decisions"))
    y, size = round((part[0] + part[1]) / 2, 1), 0.4 * plot.frame.text
    for one in history.decisions:
        at = plot.scale.x(one.visit.on), y
        plot.draw(Marker(at=at, shape=DECIDED[one.made], size=round(size, 1), role=Role.MARK))
        plot.labels.keep_clear(around(at, size))


def _loads(plot: Plot, history: History, part: tuple[float, float]) -> None:
    """The load of the main exercise as a line, with the figure wherever it changes and there is room."""
    _name(plot, part, _("Load of the main exercise, kg"))
    heaviest = max(one.load_kg or 0 for one in history.issues) or 1
    scale = replace(_between(plot.scale, part), low=0, high=heaviest * 1.3)
    plot.draw(Path(points=((scale.left, part[1]), (scale.right, part[1])), role=Role.AXIS))
    for way in _ways(history, lambda one: one.load_kg, scale):
        plot.draw(Path(points=way, role=Role.SERIES))
        plot.labels.keep_clear_of_line(way)
    figures = replace(plot, scale=scale)
    changed = [one for before, one in pairwise((None, *history.issues)) if _is_new(before, one)]
    # The newest and the first are needed most.
    for one in (*changed[-1:], *changed[:-1]):
        at = scale.x(one.since), scale.y(one.load_kg)
        words = number(one.load_kg, None)
        figures.labels.place(_at_step(figures, at, words, until=at[0]))


def _is_new(before: Issue | None, one: Issue) -> bool:
    return one.load_kg is not None and (before is None or before.load_kg != one.load_kg)


def _sessions(plot: Plot, history: History, part: tuple[float, float]) -> None:
    """A calendar: a column a week, a row a weekday, a shape a state."""
    _name(plot, part, _("Sessions"))
    size, step = plot.frame.text, (part[1] - part[0]) / WEEK
    weeks = round(plot.scale.days / WEEK)
    across = (plot.scale.right - plot.scale.left) / weeks
    for weekday in (0, 6):
        y = part[0] + (weekday + 0.5) * step + 0.34 * size
        words = str(WEEKDAYS_ABBR[weekday])
        plot.labels.place([plot.text(plot.scale.left - plot.gap, y, words, Anchor.END)])
    ground = plot.scale.left, part[0], plot.scale.right - plot.scale.left, part[1] - part[0]
    x, y, width, height = (round(value, 1) for value in ground)
    plot.draw(Rect(x=x, y=y, width=width, height=height, role=Role.STAGE_SHADE))
    half = round(min(0.4 * step, 0.42 * across), 1)
    for one in history.sessions:
        column = (monday_of(one.on) - plot.scale.first).days // WEEK
        x = plot.scale.left + (column + 0.5) * across
        y = part[0] + (one.on.weekday() + 0.5) * step
        shape, role = MARKS[one.state]
        at = round(x, 1), round(y, 1)
        plot.draw(Marker(at=at, shape=shape, size=half, role=role))
