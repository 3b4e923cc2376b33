"""A logo as SVG: only lines and areas that the file itself holds are taken."""

import io
import re
from collections.abc import Iterator
from xml.etree import ElementTree  # nosec B405 # writes and names parts; defusedxml reads the file

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing
from svglib.svglib import svg2rlg

SVG = "http://www.w3.org/2000/svg"
ROOT, COPY = f"{{{SVG}}}svg", f"{{{SVG}}}use"
LINKS = ("href", "{http://www.w3.org/1999/xlink}href")
# svglib finds the parts to copy only where SVG is the namespace without a prefix.
ElementTree.register_namespace("", SVG)
MOST_PARTS = 5000
# In attributes and style sheets; "url(#shade)" is a part of the file itself.
ELSEWHERE = re.compile(r"@import|url\(\s*[\"']?\s*(?![\"'#\s])", re.IGNORECASE)

NOT_A_DRAWING = _("The file is neither a PNG nor an SVG picture.")
SCRIPT = _("The drawing holds a script.")
REFERENCE = _("The drawing refers to something outside its file.")
ENTITY = _("The drawing holds entities.")
FOREIGN = _("The drawing holds foreign content.")
PICTURE = _("The drawing holds another picture.")
TEXT = _("The drawing holds text. Turn the text into outlines before you save it.")
TOO_MANY_PARTS = _("The drawing has more than 5000 parts.")
COPIES = _("The drawing copies parts that hold copies themselves.")
UNREADABLE = _("The drawing can't be read.")

# What svglib and ReportLab raise for numbers and paths that make no sense.
BROKEN = (ValueError, TypeError, AttributeError, LookupError, ArithmeticError, RecursionError)

REFUSED = {
    "script": SCRIPT,
    "foreignobject": FOREIGN,
    "image": PICTURE,
    "feimage": PICTURE,
    # The type that a text asks for is not in the file, and a sheet prints only type that it carries.
    "text": TEXT,
}


def check_svg(data: bytes) -> None:
    """Raise ValidationError with one sentence for a drawing that is not taken."""
    if b"<?xml-stylesheet" in data:
        raise ValidationError(REFERENCE)
    root = _parsed(data)
    parts = list(root.iter())
    if len(parts) > MOST_PARTS:
        raise ValidationError(TOO_MANY_PARTS)
    for part in parts:
        for sentence in _faults(part):
            raise ValidationError(sentence)
    _check_copies(root, len(parts))
    try:
        renderPDF.drawToString(drawing(data))
    except BROKEN as wrong:
        raise ValidationError(UNREADABLE) from wrong


def drawing(data: bytes) -> Drawing:
    """Return the drawing to be set on paper.

    It is built from what was parsed and checked, written anew, so that no second parser reads the file in
    another way. Raises ValidationError for one that can't be read.
    """
    try:
        again = ElementTree.tostring(_parsed(data))
        drawn = svg2rlg(io.BytesIO(again))
    except BROKEN as wrong:
        raise ValidationError(UNREADABLE) from wrong
    if drawn is None or not (0 < drawn.width < float("inf") and 0 < drawn.height < float("inf")):
        raise ValidationError(UNREADABLE)
    return drawn


def _parsed(data: bytes) -> ElementTree.Element:
    try:
        root = fromstring(data)
    except DefusedXmlException as refused:
        raise ValidationError(ENTITY) from refused
    except (ElementTree.ParseError, ValueError, LookupError) as wrong:
        raise ValidationError(NOT_A_DRAWING) from wrong
    if root.tag != ROOT:
        raise ValidationError(NOT_A_DRAWING)
    return root


def _check_copies(root: ElementTree.Element, count: int) -> None:
    """Count the parts with all copies made: a few lines of copies of copies make millions."""
    named = {part.get("id"): part for part in root.iter()}
    for copy in root.iter(COPY):
        target = next((copy.get(link, "") for link in LINKS if copy.get(link)), "")
        copied = list(named[target[1:]].iter()) if target[1:] in named else []
        if any(part.tag == COPY for part in copied):
            raise ValidationError(COPIES)
        count += len(copied)
        if count > MOST_PARTS:
            raise ValidationError(TOO_MANY_PARTS)


def _faults(part: ElementTree.Element) -> Iterator[Promise]:
    """Why a part of the drawing is not taken."""
    name = _local(part.tag)
    if name in REFUSED:
        yield REFUSED[name]
    for key, value in part.attrib.items():
        yield from _faults_of_attribute(_local(key), value)
    if name == "style" and ELSEWHERE.search(part.text or ""):
        yield REFERENCE


def _faults_of_attribute(name: str, value: str) -> Iterator[Promise]:
    target = re.sub(r"[\s\x00-\x1f]", "", value).lower()
    if name.startswith("on") or (name == "href" and target.startswith("javascript:")):
        yield SCRIPT
    if (name == "href" and not target.startswith("#")) or ELSEWHERE.search(value):
        yield REFERENCE


def _local(name: str) -> str:
    return name.rpartition("}")[2].lower()
