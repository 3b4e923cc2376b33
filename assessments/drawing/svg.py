"""A drawing as SVG text for a page: classes only, no style; the style sheet decides how a role looks."""

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from .primitives import Drawing, Marker, Path, Point, Primitive, Rect, Shape, Text


def svg(drawing: Drawing, *, kind: str = "plot") -> SafeString:
    """Return the drawing as one `<svg>` of class `kind`, with its words for those who don't see it."""
    return format_html(
        '<svg class="{}" viewBox="0 0 {} {}" role="img"><title>{}</title><desc>{}</desc>{}</svg>',
        kind,
        _short(drawing.width),
        _short(drawing.height),
        drawing.title,
        drawing.description,
        format_html_join("", "{}", ((_drawn(item),) for item in drawing.primitives)),
    )


def in_two_widths(wide: Drawing, narrow: Drawing) -> SafeString:
    """The same for the page and for a phone; the style sheet shows the one that fits."""
    return format_html("{}{}", svg(wide, kind="plot wide"), svg(narrow, kind="plot narrow"))


def _drawn(item: Primitive) -> SafeString:
    match item:
        case Path(points=points, role=role):
            return format_html('<path class="{}" d="{}"/>', role, _way(points))
        case Rect():
            return format_html(
                '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>',
                item.role,
                *map(_short, (item.x, item.y, item.width, item.height)),
            )
        case Marker(shape=Shape.HALF, at=(x, y), size=size):
            return format_html(
                '<circle class="{} ring" cx="{}" cy="{}" r="{}"/><path class="{} half" d="{}"/>',
                item.role,
                *map(_short, (x, y, size)),
                item.role,
                f"M{_short(x)} {_short(y - size)}a{_short(size)} {_short(size)} 0 0 0 0 {_short(2 * size)}Z",
            )
        case Marker(corners=(), at=(x, y)):
            return format_html(
                '<circle class="{} {}" cx="{}" cy="{}" r="{}"/>',
                item.role,
                item.shape,
                *map(_short, (x, y, item.size)),
            )
        case Marker():
            corners = _way(item.corners)
            return format_html('<path class="{} {}" d="{}Z"/>', item.role, item.shape, corners)
        case Text():
            return format_html(
                '<text class="{}" x="{}" y="{}" font-size="{}" text-anchor="{}">{}</text>',
                item.role,
                *map(_short, (item.x, item.y, item.size)),
                item.anchor,
                item.words,
            )


def _way(points: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{_short(x)} {_short(y)}" for x, y in points)


def _short(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".")
