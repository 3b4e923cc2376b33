"""How the arm is now: the measures with their key, and two charts."""

from django.utils.translation import gettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Paragraph, Table, TableStyle

from assessments.charts import Chart
from assessments.drawing.scale import Frame
from clinic.templatetags.clinic_tags import say

from . import summary_table
from . import summary_words as words
from .charts import chart_drawing
from .paper import Paper, Styles
from .pieces import BARE, markup, para, together
from .summary_facts import Measured

# In points: between two charts side by side, and the height of a plot.
BETWEEN, PLOT = 20, 68


def how_it_is(facts: Measured | None, look: Styles, paper: Paper) -> list[Flowable]:
    """Return the measures with their key, then the charts."""
    title = gettext("How it is now")
    if facts is None:
        return [together(title, [para(gettext("Nothing has been measured yet."), look.body)], look)]
    set_as, rows = (summary_table.once, facts.once)
    if facts.rows:
        set_as, rows = (summary_table.compared, facts.rows)
    key = ParagraphStyle("key", look.note, spaceBefore=4)
    return [
        CondPageBreak(paper.scaled(130)),
        para(title, look.head),
        set_as(rows, look, paper),
        KeepTogether([Paragraph(markup(" ".join(words.key(facts))), key)]),
        *_charts(facts, look, paper),
    ]


def _charts(facts: Measured, look: Styles, paper: Paper) -> list[Flowable]:
    """Side by side; in large print one under the other."""
    if not facts.charts:
        return []
    caption = para(" ".join(facts.captions), look.note)
    if paper.large:
        *others, last = (_chart(one, paper.width, look, paper) for one in facts.charts)
        return [*map(KeepTogether, others), KeepTogether([*last, caption])]
    across = (paper.width - BETWEEN) / 2
    pair = Table(
        [[_chart(one, across, look, paper) for one in facts.charts]],
        colWidths=[across + BETWEEN, across][: len(facts.charts)],
        style=TableStyle(BARE),
        hAlign="LEFT",
    )
    return [KeepTogether([pair, caption])]


def _chart(chart: Chart, width: float, look: Styles, paper: Paper) -> list[Flowable]:
    frame = Frame(width=width, plot=paper.scaled(PLOT), text=paper.body, dot=paper.scaled(3))
    title = f"{chart.title}, {say(chart.unit)}" if chart.unit else chart.title
    return [para(title, look.note_head), chart_drawing(chart, frame)]
