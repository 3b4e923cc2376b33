"""What charts say in words: the change, the slope, the sentences under a drawing and in place of it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from django.utils.translation import gettext as _

from assessments.charts import Mark, MarkKind, Span, Target, Waited
from assessments.clinical.change import ONE, Better
from assessments.clinical.force import Unit, from_newtons
from assessments.clinical.trend import Trend
from assessments.lines import Line, Point
from assessments.templatetags.assessment_tags import PLACES, SHOWN_UNITS, figure_value
from clinic.evidence import Figure
from clinic.templatetags.clinic_tags import number, say, written
from clinic.wording import gettext_noop

ONLY_ONE = gettext_noop("one value: nothing to compare yet")


def value_of(value: float, line: Line, *, dial: Unit = Unit.N) -> str:
    """A value with its unit, where the unit is written; a force in newtons, or as the `dial` shows it."""
    words, unit = figure_of(value, line, dial=dial), line.measure.unit
    return f"{words} {say(dial.shown)}" if unit in SHOWN_UNITS else words


def figure_of(value: float, line: Line, *, dial: Unit = Unit.N) -> str:
    """A value without its unit."""
    if line.measure.unit in SHOWN_UNITS and dial is not Unit.N:
        return number(from_newtons(value, dial))
    return number(value, PLACES.get(line.measure.key))


def figures_of(line: Line) -> str:
    """The newest value, and the first one where there are two."""
    newest = value_of(line.points[-1].value, line)
    if len(line.points) == 1 or line.is_change:
        return newest
    facts = {"newest": newest, "start": number(line.points[0].value, PLACES.get(line.measure.key))}
    return _("%(newest)s, start %(start)s") % facts


def change_of(line: Line, *, dial: Unit = Unit.N) -> str:
    """From the first to the newest value, against the published error of that change."""
    change = line.since_start
    if change is None:
        return say(ONLY_ONE if len(line.points) == 1 else line.why_not_compared)
    if not change.amount:
        return _("no change")
    texts = {
        (True, True): _("better by %(size)s, beyond error (%(error)s)"),
        (True, False): _("better by %(size)s, within error (%(error)s)"),
        (True, None): _("better by %(size)s; no published error fits"),
        (False, True): _("worse by %(size)s, beyond error (%(error)s)"),
        (False, False): _("worse by %(size)s, within error (%(error)s)"),
        (False, None): _("worse by %(size)s; no published error fits"),
    }
    error = figure_value(_on_dial(change.error, dial)) if change.error else ""
    size = value_of(abs(change.amount), line, dial=dial)
    return texts[change.improvement > 0, change.beyond_error] % {"size": size, "error": error}


def _on_dial(error: Figure, dial: Unit) -> Figure:
    """An error in the unit of the dial, where it is one of a force."""
    in_newtons = error.unit == Unit.N
    return replace(error, value=from_newtons(error.value, dial)) if in_newtons else error


def slope_of(trend: Trend, line: Line) -> str:
    """The slope a week, toward better or worse, with the limits that it lies between."""
    up = line.measure.better is Better.UP
    better = trend.slope if up else -trend.slope
    sign = (1 if up else -1) * (-1 if better < 0 else 1)
    known = trend.low is not None and trend.high is not None
    limits = sorted((sign * trend.low, sign * trend.high)) if known else []
    size, *between = _steep([sign * trend.slope, *limits], line)
    text = _("%(slope)s a week better") if better >= 0 else _("%(slope)s a week worse")
    words = text % {"slope": _counted(size, line.measure.unit)}
    if not between:
        return _("%(words)s; equal values leave no interval") % {"words": words}
    facts = {"words": words, "low": between[0], "high": between[1]}
    return _("%(words)s (%(low)s to %(high)s)") % facts


def _steep(slopes: list[float], line: Line) -> list[str]:
    """Slopes with one decimal more than their values, or with two where one would hide the slope."""
    places = PLACES.get(line.measure.key)
    first = 1 if places is None else places + 1
    written_so = [number(slope, None if places is None else first) for slope in slopes]
    equal = len(set(written_so)) == 1 and len(set(slopes)) > 1
    if equal or (slopes[0] and not round(slopes[0], first)):
        return [number(slope, first + 1) for slope in slopes]
    return written_so


def _counted(size: str, unit: str) -> str:
    return f"{size} {say(ONE.get(unit, unit) if size == '1' else unit)}".strip()


def description(
    line: Line,
    *,
    slope: str,
    targets: tuple[Target, ...],
    spans: tuple[Span, ...],
    marks: tuple[Mark, ...],
) -> str:
    """What a chart shows, for those who don't see it."""
    return " ".join(
        (
            *_values(line),
            *((_("Slope: %(slope)s.") % {"slope": slope},) if slope else ()),
            *(_("Target: %(words)s.") % {"words": target.words[0]} for target in targets),
            *stages(spans),
            *happened(marks),
        )
    )


def _values(line: Line) -> Iterator[str]:
    first, newest = line.points[0], line.points[-1]
    if first is newest:
        yield _("One value: %(value)s.") % {"value": _dated(first, line)}
        yield _sentence(change_of(line))
        return
    yield _("%(count)s values.") % {"count": len(line.points)}
    yield _("Start: %(value)s.") % {"value": _dated(first, line)}
    yield _("Newest: %(value)s: %(change)s.") % {
        "value": _dated(newest, line),
        "change": change_of(line),
    }
    low, high = _least(line), _most(line)
    best, worst = (high, low) if line.measure.better is Better.UP else (low, high)
    yield _("Best: %(best)s; worst: %(worst)s.") % {
        "best": _dated(best, line),
        "worst": _dated(worst, line),
    }


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


def _least(line: Line) -> Point:
    return min(line.points, key=lambda point: point.value)


def _most(line: Line) -> Point:
    return max(line.points, key=lambda point: point.value)


def _dated(point: Point, line: Line) -> str:
    return _("%(value)s on %(day)s") % {
        "value": value_of(point.value, line),
        "day": written(point.on),
    }


def stages(spans: tuple[Span, ...]) -> Iterator[str]:
    if spans:
        named = (
            _("%(stage)s from %(day)s") % {"stage": _stage(span), "day": written(span.since)}
            for span in spans
        )
        yield _("Stages: %(stages)s.") % {"stages": "; ".join(named)}


def _stage(span: Span) -> str:
    return f"{span.short} {span.label}".strip()


def happened(marks: Iterable[Mark]) -> Iterator[str]:
    """The marks in words: injections one by one, flares counted."""
    flares = sorted(mark.day for mark in marks if mark.kind is MarkKind.FLARE)
    for mark in marks:
        if mark.kind is MarkKind.INJECTION:
            facts = {"what": mark.label, "day": written(mark.day)}
            yield _("Triangle: %(what)s, %(day)s.") % facts
    if len(flares) == 1:
        yield _("Square: a session that was too much, %(day)s.") % {"day": written(flares[0])}
    elif flares:
        yield _("Squares: sessions that were too much on %(count)s days, the last on %(day)s.") % {
            "count": len(flares),
            "day": written(flares[-1]),
        }


def untreated(waited: tuple[Waited, ...]) -> Iterator[str]:
    """What was observed without treatment, with the day of this case that it falls on."""
    for row in waited:
        day = {"day": written(row.day)}
        yield _("Without treatment, by %(day)s counted from the first measure:") % day
        yield from row.sentences
