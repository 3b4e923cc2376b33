"""How sentences, dates, numbers and states are written on pages."""

import datetime as dt
from decimal import ROUND_HALF_UP, Decimal

from django import template
from django.templatetags.static import static
from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from clinic.keys import BOOK, Key
from clinic.wording import Sentence

register = template.Library()

NOT_MEASURED = "–"
MINUS = "−"

# fmt: off
SHAPES = {
    "settled": "full", "watch": "half", "too much": "square", "unclassified": "open",
    True: "full", False: "open", None: "dotted",
    "done": "full", "now": "half", "todo": "open", "stopped": "square",
}
# fmt: on


@register.simple_tag
def today_unless(named: dt.date) -> str:
    """Today's date for the stamp of a page, or nothing where the page has named the day already."""
    today = timezone.localdate()
    return "" if named == today else date_format(today, "D j M Y")


@register.filter
def say(value) -> str:
    """Translate a Sentence or a plain string; dates and numbers inside a Sentence are written our way."""
    if isinstance(value, Sentence):
        return gettext(value.text) % {name: _filled_in(part) for name, part in value.values}
    text = "" if value is None else str(value)
    # gettext("") answers with the catalog's own header.
    return gettext(text) if text else ""


class _Number(float):
    """A number that `%s` writes in the reader's language, and `%.1f` still rounds."""

    def __str__(self) -> str:
        return number_format(float(self))


def _filled_in(value):
    if isinstance(value, dt.date):
        return written(value)
    if isinstance(value, Sentence | str):
        return say(value)
    return _Number(value) if isinstance(value, float) else value


@register.filter
def written(value: dt.date | None) -> str:
    """A date, or a moment's date in the clinic's own time: 12 Mar 2026."""
    # The format is a message too: Spanish writes its months small, 12 mar 2026.
    return date_format(_local(value), gettext("j M Y")) if value else ""


@register.filter
def clock(value: dt.datetime | dt.time | None) -> str:
    """A time of day, or a moment's time in the clinic's own zone: 09:30."""
    return "" if value is None else _local(value).strftime("%H:%M")


def _local(value):
    moment = isinstance(value, dt.datetime) and timezone.is_aware(value)
    return timezone.localtime(value) if moment else value


@register.filter
def number(value, places: int | None = None) -> str:
    """A number with at most one decimal, or with exactly `places`; – for one that is not there."""
    if value is None or value == "":
        return NOT_MEASURED
    rounded = _rounded(value, 1 if places is None else places)
    if places is None and rounded == rounded.to_integral_value():
        rounded = rounded.quantize(Decimal(1))
    return (MINUS if rounded < 0 else "") + number_format(format(abs(rounded), "f"))


@register.filter
def days_until(first: dt.date, then: dt.date) -> int:
    """How many days later `then` is."""
    return (then - first).days


@register.filter
def hours(value: dt.timedelta) -> str:
    """A length of time in hours with one decimal."""
    return number(value / dt.timedelta(hours=1), 1)


@register.filter
def signed(value, places: int | None = None) -> str:
    """A change: +3, −2 or 0; decimals as in `number`."""
    text = number(value, places)
    grew = text != NOT_MEASURED and _rounded(value, 1 if places is None else places) > 0
    return f"+{text}" if grew else text


def _rounded(value, places: int) -> Decimal:
    return Decimal(str(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


@register.filter
def shown(value) -> str:
    """What a field holds, in words: a date or time written out, yes or no, – for nothing; 0 is something."""
    if value in (None, ""):
        return NOT_MEASURED
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, dt.time):
        return clock(value)
    return written(value) if isinstance(value, dt.date) else say(value)


KEY = (
    '<label class="key"><input type="radio" name="{0}" value="{1}" id="{2}_{1}"{3}{4}>'
    "<span>{1}</span></label>"
)


@register.filter
def scale_keys(field) -> SafeString:
    """The eleven keys of a 0–10 rating with the chosen one marked; a visit has a hundred, so no template."""
    chosen, required = str(field.value()), " required" if field.field.required else ""
    keys = (
        (
            field.html_name,
            value,
            field.auto_id,
            " checked" if str(value) == chosen else "",
            required,
        )
        for value in range(11)
    )
    return format_html_join("\n", KEY, keys)


@register.filter
def is_blank(field) -> bool:
    """Whether a bound field holds no answer; 0 is an answer."""
    return field.value() in (None, "")


@register.simple_tag
def keys_of_the_book() -> tuple[Key, ...]:
    """The keys that work in the book, for its own page."""
    return BOOK.keys


@register.simple_tag
def icon(name: str) -> str:
    """One icon of the sprite; the word beside it carries the meaning."""
    return _drawing("icon", name)


@register.simple_tag
def shape(state) -> str:
    """The shape of a session state, a step, or a criterion's True, False or None."""
    return _drawing("shape", f"shape-{SHAPES[state]}")


def _drawing(kind: str, name: str) -> str:
    sprite = static("icons/sprite.svg")
    return format_html(
        '<svg class="{}" aria-hidden="true" focusable="false"><use href="{}#{}"></use></svg>',
        kind,
        sprite,
        name,
    )


@register.filter
def tenths(done: int, total: int) -> str:
    """How many whole tenths are done, as a form sends it back: 0 to 10."""
    return str(10 * done // max(total, 1))
