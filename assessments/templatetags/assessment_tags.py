"""How a measured value and its change are written: as many decimals as the measure deserves, and its unit."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from assessments.clinical.change import Change
from assessments.lines import Line, Note, Point
from clinic.evidence import Figure
from clinic.templatetags.clinic_tags import NOT_MEASURED, number, say, signed

register = template.Library()

# Ratios need two decimals, forces none; other measures as they come.
PLACES = {"grip_ratio": 2, "grip_pain_free": 0, "grip_maximal": 0}
# A rating or a score says by its own name what it counts.
SHOWN_UNITS = ("N",)


@register.filter
def value(point: Point | None, line: Line) -> SafeString:
    """One value of a line with its unit, or – where there is none."""
    if point is None:
        return format_html("{}", NOT_MEASURED)
    return _with_unit(number(point.value, PLACES.get(line.measure.key)), line)


@register.filter
def amount(change: Change, line: Line) -> SafeString:
    """How far a line moved, with its sign and unit."""
    return _with_unit(signed(change.amount, PLACES.get(line.measure.key)), line)


@register.filter
def figure_value(figure: Figure) -> str:
    """A published figure's number."""
    return as_printed(figure.value)


def as_printed(value: float) -> str:
    """A published number with as many decimals as are printed, but never more than two."""
    rounded = round(value, 2)
    places = next(n for n in (0, 1, 2) if round(rounded, n) == rounded)
    return number(rounded, places)


@register.filter
def note_title(note: Note) -> str:
    """All figures of one source with their units."""
    return ", ".join(f"{figure_value(figure)} {say(figure.unit)}" for figure in note.figures)


@register.filter
def percent(share: float) -> str:
    """A ratio as whole percent, without the sign."""
    return number(100 * share, 0)


def _with_unit(text: str, line: Line) -> SafeString:
    unit = line.measure.unit
    if unit not in SHOWN_UNITS:
        return format_html("{}", text)
    return format_html('{} <span class="unit">{}</span>', text, say(unit))
