"""A figure as SVG for a page: classes only, no style attribute and no id, so that it fits any page."""

import itertools
from collections.abc import Iterable
from functools import cache

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from cases.clinical.drawing import Circle, Figure, Line, Outline, Point, Primitive
from clinic.templatetags.clinic_tags import say


def svg(figure: Figure) -> SafeString:
    """Return the figure as one `<svg>` whose title says what it shows."""
    width, height = figure.box
    return format_html(
        '<svg class="figure" role="img" viewBox="0 0 {} {}" focusable="false"><title>{}</title>{}</svg>',
        _short(width),
        _short(height),
        say(figure.alt),
        _drawing(figure),
    )


@cache  # the same few drawings stand on page after page; only their words change with the language
def _drawing(figure: Figure) -> SafeString:
    return format_html_join("", "{}", ((_element(part),) for part in figure.primitives))


def _element(primitive: Primitive) -> SafeString:
    match primitive:
        case Outline(role=role, parts=parts):
            return format_html('<path class="{}" d="{}"/>', role, "".join(map(_closed, parts)))
        case Line(role=role, points=points):
            return format_html('<path class="{} line" d="{}"/>', role, _run(points))
        case Circle(role=role, center=(x, y), radius=radius):
            return format_html(
                '<circle class="{}" cx="{}" cy="{}" r="{}"/>',
                role, _short(x), _short(y), _short(radius),
            )  # fmt: skip


def _closed(points: Iterable[Point]) -> str:
    return f"{_run(points)}z"


def _run(points: Iterable[Point]) -> str:
    """From point to point by the step between them: compressed, that is half as long as where each lies.

    Points are put on whole units of the box, at most half a pixel on a page: a third of the bytes is gone.
    Steps are between these, so nothing adds up along the way.
    """
    (x, y), *others = ((round(x), round(y)) for x, y in points)
    ends = itertools.pairwise([(x, y), *others])
    steps = [f"{x1 - x0},{y1 - y0}" for (x0, y0), (x1, y1) in ends if (x0, y0) != (x1, y1)]
    return f"M{x},{y}l{' '.join(steps)}"


def _short(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
