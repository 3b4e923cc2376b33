"""Drawings of positions on a page."""

from django import template
from django.utils.safestring import SafeString

from cases.clinical.drawing import Figure
from cases.clinical.positions import figure
from cases.clinical.sides import Side
from cases.figures import svg

register = template.Library()


@register.filter
def drawn(shown: Figure) -> SafeString:
    """A figure as SVG, its words as the title."""
    return svg(shown)


@register.simple_tag
def position(code: str, phase: str, side: str) -> Figure:
    """The figure of a test: `{% position test.code "start" side as figure %}`."""
    return figure(code, phase, Side(side))
