"""The findings, measures and criteria of a visit as tables with their footnotes."""

from collections.abc import Iterable

from django.utils.text import capfirst
from django.utils.translation import gettext
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Spacer

from clinic.templatetags.clinic_tags import clock, say, written

from .ledger import cell_style, footnotes, marked, table
from .paper import Paper, Styles
from .pieces import INK, SOFT, Shape, bullets, markup, para
from .visit_facts import (
    BatteryFacts,
    CriteriaGroup,
    CriterionRow,
    DecisionFacts,
    MeasureFacts,
    MeasureRow,
    Said,
)

# Shares of the width of the page.
FINDING_WIDTHS = (0.35, 0.215, 0.155, 0.065, 0.215)
MEASURE_WIDTHS = (0.29, 0.11, 0.16, 0.13, 0.31)
CRITERION_WIDTHS = (0.035, 0.125, 0.32, 0.28, 0.24)


def battery(facts: BatteryFacts, look: Styles, paper: Paper) -> list[Flowable]:
    """Return what the round says, then what was found."""
    how = gettext("%(day)s · performed by: %(by)s · pain at rest before: %(pain)s of 10") % {
        "day": written(facts.on),
        "by": facts.performed_by,
        "pain": facts.resting_pain,
    }
    despite = gettext("Gone on despite that: %(why)s") % {"why": facts.despite}
    return [
        *_head(gettext("Battery"), look, paper),
        para(how, look.soft),
        *([para(despite, look.body)] if facts.despite else ()),
        *(part for said in facts.reading for part in _said(said, look, paper)),
        *_findings(facts, look, paper),
    ]


def measures(facts: MeasureFacts, look: Styles, paper: Paper) -> list[Flowable]:
    """Return each measure with its change since the start, then where the errors come from."""
    heads = (
        gettext("Measure"),
        gettext("Start"),
        gettext("Last time"),
        gettext("This visit"),
        gettext("Change since the start"),
    )
    rows = [_measure(row, look) for row in facts.rows]
    return [
        *_head(gettext("Measures"), look, paper),
        table(heads, rows, MEASURE_WIDTHS, look, paper, right=(1, 2, 3)),
        *footnotes(facts.footnotes, look, paper),
    ]


def decision(facts: DecisionFacts, look: Styles, paper: Paper) -> list[Flowable]:
    """Return what was proposed and decided, then the criteria and limits as they stood."""
    return [
        *_head(gettext("Decision about program %(n)s") % {"n": facts.version}, look, paper),
        *_decided(facts, look),
        *bullets(facts.reasons, look.item),
        Spacer(1, paper.scaled(5)),
        *(_labeled(kind, words, look) for kind, words in facts.messages),
        *(part for group in facts.criteria for part in _criteria(group, look, paper)),
        *footnotes(facts.footnotes, look, paper),
    ]


def _decided(facts: DecisionFacts, look: Styles) -> list[Paragraph]:
    made = gettext("%(made)s, by %(who)s on %(day)s at %(time)s") % {
        "made": facts.made,
        "who": facts.by,
        "day": written(facts.at),
        "time": clock(facts.at),
    }
    why = [(gettext("Otherwise than proposed, because"), facts.reason)] if facts.reason else []
    rows = [(gettext("Proposed"), facts.proposed), (gettext("Decided"), made), *why]
    return [_labeled(label, words, look) for label, words in rows]


def _labeled(label, words, look: Styles) -> Paragraph:
    return Paragraph(f"<b>{markup(capfirst(say(label)))}:</b> {markup(words)}", look.body)


def _head(title: str, look: Styles, paper: Paper) -> list[Flowable]:
    return [CondPageBreak(paper.scaled(110)), para(title, look.head)]


def _said(said: Said, look: Styles, paper: Paper) -> Iterable[Flowable]:
    if said.title:
        yield CondPageBreak(paper.scaled(60))
        yield para(said.title, look.note_head)
    yield from bullets((capfirst(say(words)) for words in said.sentences), look.item)
    yield Spacer(1, paper.scaled(5))


def _findings(facts: BatteryFacts, look: Styles, paper: Paper) -> Iterable[Flowable]:
    heads = (
        gettext("Test"),
        gettext("Side"),
        gettext("Answer"),
        gettext("Pain"),
        gettext("Remark"),
    )
    cell, number = cell_style(look), cell_style(look, right=True)
    rows = [
        [
            *(para(words, cell) for words in (row.test, row.side, row.answer)),
            para(row.pain, number),
            para(row.remark, cell),
        ]
        for row in facts.findings
    ]
    if rows:
        yield Spacer(1, paper.scaled(6))
        yield table(heads, rows, FINDING_WIDTHS, look, paper, right=(3,))
    if facts.points:
        yield Spacer(1, paper.scaled(10))
        title = gettext("Palpation, point by point")
        yield from _said(Said(title=title, sentences=facts.points), look, paper)


def _measure(row: MeasureRow, look: Styles) -> list[Paragraph]:
    cell, number = cell_style(look), cell_style(look, right=True)
    figures = [para(words, number) for words in (row.start, row.last)]
    here = Paragraph(f"<b>{markup(row.here)}</b>", number)
    return [marked(row.name, row.mark, cell), *figures, here, para(row.change, cell)]


def _criteria(group: CriteriaGroup, look: Styles, paper: Paper) -> Iterable[Flowable]:
    held = sum(row.held is True for row in group.rows)
    count = gettext("%(held)s of %(count)s held") % {"held": held, "count": len(group.rows)}
    title = f"{markup(group.title)}<font color='{SOFT.hexval()}'> · {markup(count)}</font>"
    rows = [_criterion(row, look, paper) for row in group.rows]
    heads = ("", gettext("Held"), gettext("Criterion"), gettext("Found"), gettext("Asked for"))
    yield CondPageBreak(paper.scaled(90))
    yield Spacer(1, paper.scaled(6))
    yield Paragraph(title, look.note_head)
    yield table(heads, rows, CRITERION_WIDTHS, look, paper)


def _criterion(row: CriterionRow, look: Styles, paper: Paper) -> list[Flowable]:
    cell = cell_style(look)
    # fmt: off
    shape, word = {
        True: ("full", gettext("held")),
        False: ("open", gettext("not held")),
        None: ("dotted", gettext("unknown")),
    }[row.held]
    # fmt: on
    return [
        Shape(shape, paper.scaled(10), INK),
        para(word, cell),
        marked(row.words, row.mark, cell),
        para(row.found, cell),
        para(row.gate, cell),
    ]
