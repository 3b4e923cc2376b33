"""Which measure of a course is drawn how, and what stands around all of them."""

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from django.utils.translation import gettext as _

from assessments import chart_words
from assessments.charts import (
    Chart,
    Dated,
    Mark,
    Overview,
    Panel,
    Slope,
    Span,
    Target,
    Waited,
)
from assessments.clinical.force import Unit, from_newtons
from assessments.clinical.grip import grip_error
from assessments.clinical.measures import FORCES, ReadAs
from assessments.clinical.protocol import PAIN_FREE_STRAIGHT
from assessments.clinical.trend import Trend, trend
from assessments.course import Course
from assessments.lines import Line
from assessments.templatetags.assessment_tags import PLACES, as_printed
from clinic.templatetags.clinic_tags import say, written

# The core outcome set of 2022 and what the guideline of 2022 adds, in the order of the overview; the
# ratio is what the loading ladder asks for.
OVERVIEW = (
    "pain_on_gripping",
    "pain_worst_24h",
    "grip_pain_free",
    "grip_ratio",
    "prtee",
    "activities",
    "global_rating",
    "time_off_work",
)
# Drawn behind these: what was observed without treatment was pain, disability and recovery.
WITH_UNTREATED = ("pain_on_gripping", "prtee")


@dataclass(frozen=True, kw_only=True)
class Around:
    """What goes on around the measures of a case: stages, marks, targets by measure, the untreated."""

    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    targets: Mapping[str, tuple[Target, ...]] = field(default_factory=dict)
    waited: tuple[Waited, ...] = ()
    since: datetime.date | None = None
    until: datetime.date | None = None


def newest(line: Line) -> Line:
    """The line as of its newest value, whichever visit that was measured at. It must have a value."""
    return replace(line, today=line.points[-1])


def chart_of(
    course: Course, key: str, *, around: Around | None = None, alone: bool = True
) -> Chart | None:
    """Return the chart of one measure of the register, or None while it has no value.

    A chart that stands `alone` says under it what stages and marks are drawn.
    """
    line = course.line(key)
    if not line.points:
        return None
    beside = _other_side(course) if key == "grip_pain_free" else ()
    return line_chart(newest(line), around or Around(), beside=beside, alone=alone)


def line_chart(
    line: Line, around: Around, *, beside: tuple[Dated, ...] = (), alone: bool = True
) -> Chart:
    """Return the chart of a line as of its newest value."""
    key, measure, slope = line.measure.key, line.measure, slope_of(line)
    slope_words = chart_words.slope_of(slope, line) if slope else ""
    targets = around.targets.get(key, ())
    chart = Chart(
        title=say(measure.name),
        unit=measure.unit if measure.unit == "N" else "",
        points=tuple((point.on, point.value) for point in line.points),
        low=measure.low,
        high=None if key in FORCES else measure.high,
        places=PLACES.get(key),
        error=_error(line),
        error_words=(_("within the measurement error of the start"), _("within error")),
        beside=beside,
        beside_label=_("the other side"),
        spans=around.spans,
        marks=_inside(around),
        targets=targets,
        slope=_drawn(slope, slope_words) if slope else None,
        waited=around.waited if key in WITH_UNTREATED else (),
        since=around.since,
        until=around.until,
        description=chart_words.description(
            line, slope=slope_words, targets=targets, spans=around.spans, marks=around.marks
        ),
    )
    return replace(chart, captions=tuple(_captions(line, chart, around, alone=alone)))


def on_dial(chart: Chart, dial: Unit) -> Chart:
    """Return the values of a force as the dial shows them, without what else is said in newtons."""

    def shown(points: tuple[Dated, ...]) -> tuple[Dated, ...]:
        return tuple((day, from_newtons(value, dial)) for day, value in points)

    return replace(
        chart,
        unit=dial.shown,
        points=shown(chart.points),
        beside=shown(chart.beside),
        error=chart.error and from_newtons(chart.error, dial),
        places=None if dial is not Unit.N else chart.places,
        slope=None,
        targets=(),
        captions=(),
        description="",
    )


def slope_of(line: Line) -> Trend | None:
    """The robust slope, for measures whose values are compared with each other."""
    if line.measure.read_as is not ReadAs.DIFFERENCE:
        return None
    return trend((point.on, point.value) for point in line.points)


def overview_of(course: Course, around: Around) -> Overview | None:
    """Return the measures of the overview on one axis of time, or None while there is no value."""
    lines = [course.line(key) for key in OVERVIEW]
    lines = [newest(line) for line in lines if line.points]
    if not lines:
        return None
    panels = tuple(
        Panel(
            chart=line_chart(line, around),
            figures=chart_words.figures_of(line),
            change=chart_words.change_of(line),
        )
        for line in lines
    )
    days = [day for panel in panels for day, _value in panel.chart.points]
    since, until = around.since or min(days), around.until or max(days)
    told = (
        *(f"{panel.chart.title}: {panel.figures}; {panel.change}." for panel in panels),
        *chart_words.stages(around.spans),
        *chart_words.happened(around.marks),
    )
    return Overview(
        title=_("All core measures on one axis of time"),
        description=" ".join(told),
        panels=panels,
        since=since,
        until=until,
        spans=around.spans,
        marks=_inside(around),
        waited=around.waited,
        captions=tuple(_shared(around)),
    )


def _inside(around: Around) -> tuple[Mark, ...]:
    return tuple(mark for mark in around.marks if not _is_before(mark, around))


def _is_before(mark: Mark, around: Around) -> bool:
    return around.since is not None and mark.day < around.since


def _captions(line: Line, chart: Chart, around: Around, *, alone: bool) -> Iterator[str]:
    """What the lines and areas are; words that found no room in the drawing are said here."""
    if len(line.points) == 1 and not line.is_change:
        yield _("One value: nothing to compare yet.")
    if chart.error:
        facts = {"error": as_printed(chart.error), "unit": say(line.measure.unit)}
        yield _("Band: within the measurement error of the start (%(error)s %(unit)s).") % facts
    if chart.beside:
        yield _("Dashed line: the other side.")
    if chart.slope:
        yield _("Thin line: %(slope)s.") % {"slope": chart.slope.words[0]}
    for target in chart.targets:
        yield _("Dotted line: %(words)s.") % {"words": target.words[0]}
    if alone:
        yield from _shared(around)


def _shared(around: Around) -> Iterator[str]:
    yield from chart_words.stages(around.spans)
    yield from chart_words.happened(_inside(around))
    for mark in around.marks:
        if _is_before(mark, around):
            facts = {"what": mark.label, "day": written(mark.day)}
            yield _("Before these values: %(what)s, %(day)s.") % facts
    yield from chart_words.untreated(around.waited)


def _drawn(slope: Trend, words: str) -> Slope:
    return Slope(
        start=(slope.since, slope.on(slope.since)),
        end=(slope.until, slope.on(slope.until)),
        words=(words,),
    )


def _error(line: Line) -> float | None:
    """The published error of the change from the first value, as it fits the newest one."""
    if line.measure.read_as is not ReadAs.DIFFERENCE:
        return None
    if line.since_start or len(line.points) > 1:
        return line.error.value if line.error else None
    if line.measure.key == "grip_pain_free":
        figure = grip_error(
            PAIN_FREE_STRAIGHT.position, within_visit=False, trials=line.points[0].trials
        )
        return figure.value if figure else None
    return line.measure.errors[0].value if line.measure.errors else None


def _other_side(course: Course) -> tuple[Dated, ...]:
    means = ((at.on, at.mean_n(PAIN_FREE_STRAIGHT, affected=False)) for at in course.visits)
    return tuple((on, mean_n) for on, mean_n in means if mean_n is not None)
