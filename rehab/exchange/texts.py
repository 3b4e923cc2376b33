"""Text as FHIR allows it: R4's strings hold no other blank than space, tab and line break, and no control."""

import unicodedata
from html import escape

from .facts import Json

LINES = ("\n", "\t")


def plain(text: str) -> str:
    """The text with every other blank as a space, without controls, and without blanks around it."""
    return "".join(map(_sign, text.replace("\r\n", "\n"))).strip()


def _sign(sign: str) -> str:
    if sign in LINES:
        return sign
    if sign.isspace():
        return " "
    return "" if unicodedata.category(sign) in ("Cc", "Cs") else sign


def narrative(lines: list[str]) -> Json:
    """The lines as the part of a resource that a person reads."""
    body = "".join(f"<p>{escape(line, quote=False)}</p>" for line in lines)
    div = f'<div xmlns="http://www.w3.org/1999/xhtml">{body}</div>'
    return {"status": "generated", "div": div}
