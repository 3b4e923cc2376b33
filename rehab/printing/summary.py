"""The course summary: what was found, how it is now, what comes next, and who answers for it.

It speaks to the patient, and their doctor reads along: short sentences, figures beside the words, and no
name of a disease.
"""

import datetime
from dataclasses import dataclass, replace

from django.utils import translation
from django.utils.translation import gettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from . import summary_words as words
from .paper import Paper, Running, Sheet, Styles, pdf, styles
from .pieces import Words, markup, name
from .summary_facts import Measured, Plan, Round, Screened, Signed, Why, Work
from .summary_found import found, why
from .summary_next import closing, plan, work
from .summary_now import how_it_is


@dataclass(frozen=True, kw_only=True)
class CourseSummary(Sheet):
    """Everything the summary says; `since` and `until` are the days of the first and the last visit."""

    born: datetime.date
    elbow: Words
    language: str
    since: datetime.date | None
    until: datetime.date | None
    visits: int
    moved: tuple[Words, ...]
    why: Why
    round: Round | None
    screened: Screened | None
    measured: Measured | None
    work: Work | None
    plan: Plan
    signed: Signed


def summary_pdf(sheet: CourseSummary, paper: Paper) -> bytes:
    """Set the sheet in the patient's language. Raises CannotPrint for a sign the type lacks."""
    with translation.override(sheet.language):
        running = Running.of(
            sheet, gettext("Course summary"), standing=words.standing(sheet.signed)
        )
        wide = replace(paper, noted=False)
        return pdf(summary_story(sheet, wide), running, wide)


def summary_story(sheet: CourseSummary, paper: Paper) -> list[Flowable]:
    """Return the sheet as flowables, in the order in which a doctor asks."""
    look = _closer(styles(paper.body))
    return [
        *_opening(sheet, look),
        *why(sheet.why, look),
        *found(sheet.round, sheet.screened, look),
        *how_it_is(sheet.measured, look, paper),
        *work(sheet.work, look, held_up=bool(sheet.screened and sheet.screened.held_up)),
        *plan(sheet.plan, sheet.clinic, look),
        *closing(sheet.signed, sheet.clinic, look, paper, sources=sheet.measured is not None),
    ]


def _closer(look: Styles) -> Styles:
    """The lines and headings a little closer, so that two pages hold the usual case."""
    head = ParagraphStyle("head", look.head, spaceBefore=look.head.spaceBefore * 0.7)
    body = ParagraphStyle("body", look.body, leading=look.body.leading * 0.9)
    item = ParagraphStyle("item", look.item, leading=look.item.leading * 0.92)
    return replace(look, head=head, body=body, item=item)


def _opening(sheet: CourseSummary, look: Styles) -> list[Flowable]:
    lead = " ".join(markup(sentence) for sentence in sheet.moved)
    return [
        name(sheet.patient, look),
        Paragraph(" · ".join(map(markup, words.who(sheet))), look.soft),
        *([Paragraph(lead, look.lead)] if lead else ()),
    ]
