"""When to stop, when to get help and when to call: all of it on the first page, whatever the paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext
from reportlab.platypus import Flowable, KeepTogether, Table, TableStyle

from . import advice
from .paper import Paper, Styles
from .pieces import (
    BARE,
    Mark,
    Paragraph,
    Rule,
    Words,
    beside,
    bullets,
    markup,
    para,
    stacked,
    together,
    unbroken,
    varied,
)

if TYPE_CHECKING:
    from .home_program import HomeProgram


@dataclass(frozen=True, kw_only=True)
class Signs:
    """What the patient may notice, under the words for what to do then; `where` says where to go."""

    title: str
    signs: Sequence[Words]
    where: Words = ""


def safety(
    sheet: HomeProgram, look: Styles, paper: Paper, *, after: Sequence[Flowable], height: float
) -> list[Flowable]:
    """Lists in normal print. In large print they would need two pages, so each runs on as one paragraph.

    It has its title above it where `after` the opening that leaves all on the first page, of that height.
    """
    if paper.margin:
        return _in_lists(sheet, look, paper)
    headed = _run_on(sheet, look, paper, headed=True)
    fits = stacked([*after, *headed], paper.column) <= height
    return headed if fits else _run_on(sheet, look, paper, headed=False)


def _groups(sheet: HomeProgram) -> tuple[Signs, Signs, Signs]:
    stop, help_today = gettext("Stop the exercise at once if"), gettext("Get help the same day if")
    call = gettext("Call us on %(phone)s if") % {"phone": unbroken(sheet.clinic.phone)}
    return (
        Signs(title=stop, signs=advice.stop_signs(sheet.limits)),
        Signs(title=help_today, signs=advice.HELP_TODAY, where=advice.HELP_WHERE),
        Signs(title=call, signs=advice.call_us(sheet.review_weeks)),
    )


def _in_lists(sheet: HomeProgram, look: Styles, paper: Paper) -> list[Flowable]:
    stop, help_today, call = _groups(sheet)
    number = sheet.clinic.emergency_phone
    notes = [
        para(gettext("Emergency"), look.note_head),
        para(number, look.figure),
        para(advice.emergency(number), look.cell),
    ]
    urgent = [para(help_today.where, look.body), *bullets(help_today.signs, look.item)]
    return [
        together(stop.title, bullets(stop.signs, look.item), look),
        together(help_today.title, beside(urgent, notes, paper), look),
        together(call.title, bullets(call.signs, look.item), look),
    ]


def _run_on(sheet: HomeProgram, look: Styles, paper: Paper, *, headed: bool) -> list[Flowable]:
    stop, help_today, call = (
        _paragraph(group, look, paper, headed=headed) for group in _groups(sheet)
    )
    return [stop, help_today, Rule(paper.width), _emergency(sheet, look, paper), call]


def _paragraph(group: Signs, look: Styles, paper: Paper, *, headed: bool) -> Flowable:
    signs = " ".join(f"•\u00a0{markup(words)}" for words in group.signs)
    title, words = f"<b>{markup(group.title)}</b>", f"{signs} {markup(group.where)}"
    style = varied(look.body, leading=look.item.leading, spaceAfter=4)
    said = (title, words) if headed else (f"{title} {words}",)
    return KeepTogether(
        [Mark(group.title), Rule(paper.width), *(Paragraph(part, style) for part in said)]
    )


def _emergency(sheet: HomeProgram, look: Styles, paper: Paper) -> Table:
    number = sheet.clinic.emergency_phone
    left = paper.scaled(60)
    return Table(
        [[para(number, look.figure), para(advice.emergency(number), look.body)]],
        colWidths=[left, paper.column - left],
        style=TableStyle(BARE),
        hAlign="LEFT",
    )
