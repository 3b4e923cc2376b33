"""Charts on a page: one drawing for the page and one, with the same facts, for a phone."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from assessments.charts import Chart, Overview
from assessments.drawing.chart import draw
from assessments.drawing.overview import draw_overview
from assessments.drawing.scale import PAGE, PHONE
from assessments.drawing.svg import svg

register = template.Library()


@register.filter
def drawn(shown: Chart | Overview) -> SafeString:
    """The drawing in two widths; the style sheet shows the one that fits."""
    layout = draw_overview if isinstance(shown, Overview) else draw
    wide, narrow = layout(shown, PAGE), layout(shown, PHONE)
    return format_html("{}{}", svg(wide, kind="plot wide"), svg(narrow, kind="plot narrow"))
