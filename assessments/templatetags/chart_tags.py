"""Charts on a page: one drawing for the page and one, with the same facts, for a phone."""

from django import template
from django.utils.safestring import SafeString

from assessments.charts import Chart, Overview
from assessments.drawing.chart import draw
from assessments.drawing.overview import draw_overview
from assessments.drawing.scale import PAGE, PHONE
from assessments.drawing.svg import in_two_widths

register = template.Library()


@register.filter
def drawn(shown: Chart | Overview) -> SafeString:
    layout = draw_overview if isinstance(shown, Overview) else draw
    return in_two_widths(layout(shown, PAGE), layout(shown, PHONE))
