"""A sheet as a page of HTML in the patient's language: to read on a screen, to hear, or as one file to send.

ReportLab can't tag a PDF, so a screen reader has no headings, lists or words for the drawings in it. The page
says the same in the same order, with all of that.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils import translation
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

FIRST = ("css/variables.css",)
LAST = ("css/handout/base.css", "css/handout/parts.css", "css/handout/print.css")
ICON = "icons/favicon.svg"
FONT = re.compile(r"@font-face\s*{[^}]*}\s*")


@dataclass(frozen=True, kw_only=True)
class Page:
    """A template with what it says, the patient's language, and whether their print is large."""

    template: str
    language: str
    large: bool
    parts: dict[str, object]
    # Style sheets beside those of every page, of what stands on this one.
    rules: tuple[str, ...] = ()

    def to_read(self, **links: object) -> str:
        """The page on the site, with links for the staff around it in their own language."""
        return self._set(styles=linked(self.sheets), staff=links, reader=translation.get_language())

    def to_send(self) -> bytes:
        """The page as one file that asks for nothing: no script, no picture and no type from elsewhere."""
        return self._set(styles=inlined(self.sheets), alone=True).encode()

    @property
    def sheets(self) -> tuple[str, ...]:
        """The more general first: of two rules of the same weight the later holds."""
        return (*FIRST, *self.rules, *LAST)

    def _set(self, **around: object) -> str:
        said = {**self.parts, "language": self.language, "large": self.large, **around}
        with translation.override(self.language):
            return render_to_string(self.template, said)


def linked(sheets: Iterable[str]) -> SafeString:
    """The style sheets as a page of the site asks for them, and its icon."""
    addresses = ((static(name),) for name in sheets)
    icon = format_html('<link rel="icon" href="{}" type="image/svg+xml">', static(ICON))
    return icon + format_html_join("", '<link rel="stylesheet" href="{}">', addresses)


def inlined(sheets: Iterable[str]) -> SafeString:
    """The style sheets as they are, but for the font, which would be fetched: a file uses the system's."""
    rules = "".join(Path(finders.find(name)).read_text("utf-8") for name in sheets)
    own = mark_safe(FONT.sub("", rules))  # noqa: S308 # nosec B308 B703 # style sheets of our own
    return format_html("<style>{}</style>", own)
