"""How the home program opens: whose it is, how much work, when to come back, and the code for a calendar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from clinic.templatetags.clinic_tags import clock, written

from .paper import Paper, Styles
from .pieces import BARE, NOTE_INDENT, beside, markup, name, note, para, unbroken
from .scan_code import Hung, ScanCode, stack_height

if TYPE_CHECKING:
    from .home_program import HomeProgram

# Points between the code and the notes below it.
GAP = 8


def opening(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    if paper.margin:
        notes = [*_questions(sheet, look, paper), *_hung(sheet, look, paper)]
        return beside(_main(sheet, look), notes, paper)
    *who, lead = _main(sheet, look)
    notes = [Spacer(1, paper.scaled(8)), *_questions(sheet, look, paper)]
    return [*who, *_beside_code([lead, *notes], sheet, look, paper)]


def overhang(sheet: HomeProgram, look: Styles, paper: Paper) -> float:
    """How far the code reaches down into the notes of the block that follows the opening.

    It hangs there, where there is room: each line that it took for itself on the first page would push
    the emergency number to the second.
    """
    hung = _hung(sheet, look, paper)
    if not hung:
        return 0
    notes = stack_height(_questions(sheet, look, paper), hung[0].across) + hung[0].drop
    main = stack_height(_main(sheet, look), paper.column)
    head = look.head.spaceBefore + look.head.leading + look.head.spaceAfter
    return max(0, notes - main - head + GAP)


def _main(sheet: HomeProgram, look: Styles) -> list[Flowable]:
    stage = gettext("%(elbow)s · stage %(stage)s of 5: %(words)s") % {
        "elbow": markup(sheet.elbow),
        "stage": sheet.stage,
        "words": markup(sheet.stage_words).lower(),
    }
    return [name(sheet.patient, look), Paragraph(stage, look.soft), _lead(sheet, look)]


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
    words = _scan(ParagraphStyle("scan", look.note_head, alignment=TA_RIGHT))
    both = Table(
        [[parts, code], [words, ""]],
        colWidths=[paper.column - code.side, code.side],
        style=TableStyle([*BARE, ("SPAN", (0, 1), (1, 1))]),
        hAlign="LEFT",
    )
    return [both]


def _lead(sheet: HomeProgram, look: Styles) -> Paragraph:
    count = len(sheet.exercises)
    work = ngettext(
        "You have <b>%(count)s exercise</b>.", "You have <b>%(count)s exercises</b>.", count
    ) % {"count": count}
    days = ""
    if sheet.training_days:
        days = gettext("Your days for them: <b>%(days)s</b>.") % {
            "days": markup(sheet.training_days)
        }
    return Paragraph(" ".join(filter(None, (work, days, _next_visit(sheet)))), look.lead)


def _next_visit(sheet: HomeProgram) -> str:
    visit = sheet.next_visit
    if visit is None:
        return gettext("Your next visit is not booked yet. Please call <b>%(phone)s</b>.") % {
            "phone": markup(sheet.clinic.phone)
        }
    return gettext("Your next visit is on <b>%(day)s at %(time)s</b>, with %(who)s.") % {
        "day": markup(f"{date_format(visit.on, 'l')}, {written(visit.on)}"),
        "time": clock(visit.at),
        "who": markup(visit.practitioner),
    }
