"""What the page of a home program says: the sheet that is printed, as parts for its template."""

import base64

from django.utils import translation
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from clinic.logo import as_address
from rehab.clinical.daily_life import TIPS
from rehab.clinical.exercises import COMMON
from rehab.printing import advice
from rehab.printing.home_opening import lead, stage_line
from rehab.printing.home_program import HomeProgram, signature
from rehab.printing.pieces import Words
from rehab.templatetags.page_tags import told

from .page import Page


def home_program_page(sheet: HomeProgram, *, large: bool) -> Page:
    """The sheet as a page. Any sign can be shown: nothing here asks for one type."""
    with translation.override(sheet.language):
        return Page(
            template="rehab/pages/home_program.html",
            language=sheet.language,
            large=large,
            rules=("css/components/figure.css",),
            parts={**_opening(sheet), **_rules(sheet), **_closing(sheet)},
        )


def _opening(sheet: HomeProgram) -> dict[str, object]:
    entry = sheet.next_visit.entry if sheet.next_visit else b""
    return {
        "sheet": sheet,
        "title": f"{gettext('Home program')} {sheet.version}, {sheet.record}",
        "logo": as_address(sheet.clinic.logo),
        "stage_line": mark_safe(stage_line(sheet, escaped)),  # noqa: S308 # nosec B308 B703 # escaped
        "lead": mark_safe(lead(sheet, escaped)),  # noqa: S308 # nosec B308 B703 # escaped
        "entry": entry,
        "entry_text": base64.b64encode(entry).decode(),
    }


def _rules(sheet: HomeProgram) -> dict[str, object]:
    return {
        "levels": advice.pain_levels(sheet.limits),
        "scale": advice.SCALE,
        "usual": advice.USUAL,
        "stop_signs": advice.stop_signs(sheet.limits),
        "help_where": advice.HELP_WHERE,
        "help_today": advice.HELP_TODAY,
        "emergency": advice.emergency(sheet.clinic.emergency_phone),
        "remark": [line for line in sheet.remark.splitlines() if line.strip()],
        "each_time": COMMON,
        "tips": TIPS,
    }


def _closing(sheet: HomeProgram) -> dict[str, object]:
    return {
        "call_us": advice.call_us(sheet.review_weeks),
        "why": advice.WHY,
        "expect": advice.EXPECT,
        "caution": advice.CAUTION,
        "signature": signature(sheet),
        "sources": advice.sources(sheet.limits),
    }


def escaped(words: Words) -> SafeString:
    return escape(told(words))
