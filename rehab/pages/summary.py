"""What the page of a course summary says: the sheet that is printed, as parts for its template."""

from dataclasses import replace

from django.utils import translation
from django.utils.translation import gettext

from assessments.charts import Chart
from assessments.drawing.chart import draw
from assessments.drawing.scale import Frame
from assessments.drawing.svg import svg
from clinic.logo import as_address
from clinic.templatetags.clinic_tags import say, written
from rehab.printing import summary_words as said
from rehab.printing.summary import CourseSummary
from rehab.printing.summary_facts import Measured, MeasureRow, Plan

from .page import Page

# In CSS pixels; words on a drawing are set as large as those beside it.
WIDE = Frame(width=900, plot=220, text=18, dot=6)
NARROW = Frame(width=350, plot=190, text=18, dot=5)
GROWN = 1.4
RULES = ("css/components/chart.css", "css/handout/tables.css")


def summary_page(sheet: CourseSummary, *, large: bool) -> Page:
    """The sheet as a page. Any sign can be shown: nothing here asks for one type."""
    with translation.override(sheet.language):
        return Page(
            template="rehab/pages/summary.html",
            language=sheet.language,
            large=large,
            rules=RULES,
            parts={
                **_opening(sheet),
                **_found(sheet),
                **(_measured(sheet.measured, large=large) if sheet.measured else {}),
                **_next(sheet),
            },
        )


def _opening(sheet: CourseSummary) -> dict[str, object]:
    return {
        "sheet": sheet,
        "title": f"{gettext('Course summary')} {written(sheet.on)}, {sheet.record}",
        "logo": as_address(sheet.clinic.logo),
        "who": " · ".join(said.who(sheet)),
        "came": list(said.came(sheet.why)),
        "standing": said.standing(sheet.signed),
    }


def _found(sheet: CourseSummary) -> dict[str, object]:
    tested, screened = sheet.round, sheet.screened
    return {
        "result": list(said.result(tested)) if tested else [],
        "spots": said.spots(tested) if tested else [],
        "elsewhere": said.elsewhere(tested) if tested else [],
        "answered": list(said.answered(screened)) if screened else [],
        "flags": [said.flagged(flag) for flag in screened.flags] if screened else [],
        "signs": said.signs(screened) if screened else [],
    }


def _measured(facts: Measured, *, large: bool) -> dict[str, object]:
    return {
        "compared": [_row(row) for row in facts.rows],
        "once": [] if facts.rows else facts.once,
        "key": list(said.key(facts)),
        "charts": [_chart(chart, large=large) for chart in facts.charts],
        "captions": facts.captions,
    }


def _row(row: MeasureRow) -> dict[str, str]:
    return {
        "name": row.name,
        "start": row.start,
        "now": row.now,
        "change": said.changed(row),
        "reached": said.reached(row),
    }


def _chart(chart: Chart, *, large: bool) -> dict[str, object]:
    """A drawing for a wide window and one for a phone; the rules show the one that fits."""
    wide, narrow = (_frame(frame, large=large) for frame in (WIDE, NARROW))
    return {
        "chart": chart,
        "unit": say(chart.unit),
        "wide": svg(draw(chart, wide), kind="plot wide"),
        "narrow": svg(draw(chart, narrow), kind="plot narrow"),
    }


def _frame(frame: Frame, *, large: bool) -> Frame:
    return replace(frame, text=frame.text * GROWN) if large else frame


def _next(sheet: CourseSummary) -> dict[str, object]:
    work, signed = sheet.work, sheet.signed
    held_up = bool(sheet.screened and sheet.screened.held_up)
    return {
        "no_program": "" if work else said.no_program(held_up=held_up),
        "stage": said.stage(work) if work else "",
        "exercises": work.exercises if work else (),
        "allowed": said.allowed(work) if work else "",
        **_plan(sheet),
        "cautions": said.cautions(sheet.clinic, sources=sheet.measured is not None),
        "registered": said.registered(signed),
        "signed_last": said.signed_last(signed),
        "not_signed": said.not_signed(signed),
    }


def _plan(sheet: CourseSummary) -> dict[str, object]:
    plan: Plan = sheet.plan
    if plan.closed:
        return {"coming": [said.closed(plan, sheet.clinic)]}
    return {
        "coming": list(said.coming(plan, sheet.clinic)),
        "waits": plan.waits,
        "waits_title": plan.waits_title,
        "changes": plan.changes,
    }
