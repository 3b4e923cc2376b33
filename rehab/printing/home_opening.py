"""How the home program opens: whose it is, how much work, when to come back, and the code for a calendar."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from django.utils.translation import gettext, ngettext
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import clock

from .paper import Paper, Styles
from .pieces import (
    BARE,
    NOTE_INDENT,
    Paragraph,
    Rule,
    Words,
    beside,
    markup,
    name,
    note,
    para,
    unbroken,
    varied,
)
from .scan_code import Hung, ScanCode

if TYPE_CHECKING:
    from .home_program import HomeProgram

# How words come into a sentence that has markup: escaped, for paper or for a page.
Escape = Callable[[Words], str]


def opening(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    """Whose program it is; with a margin also when to come back, large print says that after what is urgent.

    The code hangs from the notes down beside the rules for stopping, which have none: a line of the first
    page that it took for itself would push others to the second.
    """
    who = name(sheet.patient, look)
    if not paper.margin:
        return [who, para(sheet.elbow, look.soft)]
    notes = [*_questions(sheet, look, paper), *_hung(sheet, look, paper)]
    return beside([who, *_work(sheet, look)], notes, paper)


def coming_back(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    """In large print: the stage, how much work, the next visit and its code, on one page."""
    if paper.margin:
        return []
    stage, work = _work(sheet, look)
    parts = [work, Spacer(1, paper.scaled(8)), *_questions(sheet, look, paper)]
    rule = Rule(paper.width, before=paper.scaled(6))
    return [KeepTogether([rule, stage, *_beside_code(parts, sheet, look, paper)])]


def _work(sheet: HomeProgram, look: Styles) -> list[Flowable]:
    phone = markup(sheet.clinic.phone)
    words = lead(sheet).replace(phone, unbroken(phone))
    return [Paragraph(stage_line(sheet), look.soft), Paragraph(words, look.lead)]


def stage_line(sheet: HomeProgram, escape: Escape = markup) -> str:
    return gettext("%(elbow)s · stage %(stage)s of 5: %(words)s") % {
        "elbow": escape(sheet.elbow),
        "stage": sheet.stage,
        "words": escape(sheet.stage_words).lower(),
    }


def _questions(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    call = gettext("Call us on %(phone)s.") % {"phone": unbroken(sheet.clinic.phone)}
    return note(gettext("Questions"), call, look, paper)


def _code(sheet: HomeProgram) -> ScanCode | None:
    visit = sheet.next_visit
    return ScanCode(visit.entry) if visit and visit.entry else None


def _scan(style: ParagraphStyle) -> Paragraph:
    return para(gettext("Scan to put it in your calendar"), style)


def _hung(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Hung]:
    code = _code(sheet)
    return [Hung([code, _scan(look.note_head)], paper.margin - NOTE_INDENT)] if code else []


def _beside_code(
    parts: list[Flowable], sheet: HomeProgram, look: Styles, paper: Paper
) -> list[Flowable]:
    """Large print has no margin, so the code stands at the right of the next visit, its words under it."""
    code = _code(sheet)
    if code is None:
        return parts
    words = _scan(varied(look.note_head, alignment=TA_RIGHT))
    both = Table(
        [[parts, code], [words, ""]],
        colWidths=[paper.column - code.side, code.side],
        style=TableStyle([*BARE, ("SPAN", (0, 1), (1, 1))]),
        hAlign="LEFT",
    )
    return [both]


def lead(sheet: HomeProgram, escape: Escape = markup) -> str:
    """How much work, on which days, and when to come back; what counts most is bold."""
    count = len(sheet.exercises)
    work = ngettext(
        "You have <b>%(count)s exercise</b>.", "You have <b>%(count)s exercises</b>.", count
    ) % {"count": count}
    days = ""
    if sheet.training_days:
        days = gettext("Your days for them: <b>%(days)s</b>.") % {
            "days": escape(sheet.training_days)
        }
    return " ".join(filter(None, (work, days, _next_visit(sheet, escape))))


def _next_visit(sheet: HomeProgram, escape: Escape) -> str:
    visit = sheet.next_visit
    if visit is None:
        return gettext("Your next visit is not booked yet. Please call <b>%(phone)s</b>.") % {
            "phone": escape(sheet.clinic.phone)
        }
    return gettext("Your next visit is on <b>%(day)s at %(time)s</b>, with %(who)s.") % {
        "day": escape(visit.day),
        "time": clock(visit.at),
        "who": escape(visit.practitioner),
    }
