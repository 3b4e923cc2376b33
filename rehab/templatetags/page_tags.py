"""How the words of a sheet are written on a page that may be read aloud."""

import re

from django import template
from django.utils.html import conditional_escape, escape, format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from clinic.templatetags.clinic_tags import say
from rehab.printing.pieces import UNIT, Words, unbroken
from rehab.printing.scan_code import QUIET, modules, runs

register = template.Library()

# Read aloud, the dash is often left out: 6–10 would be heard as 6 10.
RANGE = re.compile(r"(\d+)–(\d+)")
NOT_DIALED = re.compile(r"[^\d+]")


@register.filter
def told(words: Words) -> str:
    """The words in the reader's language, as they are read."""
    return as_read(say(words))


@register.filter
def as_read(text: str) -> str:
    """Text that is in the reader's language already: ranges in words, each figure on the line of its unit."""
    whole = UNIT.sub("\\1\u00a0", text)
    return RANGE.sub(gettext("%(low)s to %(high)s") % {"low": r"\1", "high": r"\2"}, whole)


@register.filter
def dialed(words: str, phone: str) -> SafeString:
    """The words, and where the phone number stands in them, a link that dials it."""
    text, number = conditional_escape(words), NOT_DIALED.sub("", phone)
    if not number:
        return text
    link = format_html('<a class="dial" href="tel:{}">{}</a>', number, phone)
    whole = text.replace(unbroken(escape(phone)), escape(phone)).replace(escape(phone), link)
    return mark_safe(whole)  # noqa: S308 # nosec B308 B703 # each part is escaped


@register.simple_tag
def scan_code(data: bytes, title: str) -> SafeString:
    """The bytes as a code to scan, with its white border, whatever the ground of the page."""
    rows = modules(data)
    side = len(rows) + 2 * QUIET
    squares = "".join(
        f"M{QUIET + start},{QUIET + down}h{length}v1h-{length}z"
        for down, row in enumerate(rows)
        for start, length in runs(row)
    )
    return format_html(
        '<svg class="scan-code" role="img" viewBox="0 0 {0} {0}"><title>{1}</title>'
        '<rect width="{0}" height="{0}"/><path d="{2}"/></svg>',
        side,
        title,
        squares,
    )
