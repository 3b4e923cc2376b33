"""The one type family of all paper, and the refusal to print what it can't write."""

import unicodedata
from functools import cache
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from clinic.templatetags.clinic_tags import say
from clinic.wording import Sentence, gettext_noop

FOLDER = Path(__file__).resolve().parents[2] / "static" / "fonts" / "source-sans"
REGULAR, SEMIBOLD, LIGHT = "SourceSans3", "SourceSans3-Semibold", "SourceSans3-Light"
FILES = {
    REGULAR: "SourceSans3-Regular.ttf",
    SEMIBOLD: "SourceSans3-Semibold.ttf",
    LIGHT: "SourceSans3-Light.ttf",
}
SOFT_HYPHEN = "\u00ad"


REFUSAL = gettext_noop(
    "“%(text)s” can't be printed: the type has no sign for “%(sign)s” (%(name)s). "
    "Write it in Latin, Greek or Cyrillic letters."
)
UNREACHED = Sentence(
    gettext_noop(
        "The sheet would not say whom to call: the clinic's address, phone or emergency number is "
        "missing. A manager enters them under “Clinic”."
    )
)


class CannotPrint(ValueError):
    """A sheet can't be set as it has to be; the message is a sentence for the person who prints.

    It is said when it is shown: the sheet is in the patient's language, the person prints in another.
    """

    def __str__(self) -> str:
        return say(self.args[0])


@cache
def register() -> None:
    """Make the family known to ReportLab, once a process; only the signs used are embedded."""
    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(name, FOLDER / file))
    for plain in (REGULAR, LIGHT):
        # Without an entry for each of the four, <b> falls back to a font that is not embedded.
        pdfmetrics.registerFontFamily(
            plain, normal=plain, bold=SEMIBOLD, italic=plain, boldItalic=SEMIBOLD
        )


@cache
def signs() -> frozenset[str]:
    """What every weight can write, without marks that combine with the letter before."""
    register()
    each = [set(pdfmetrics.getFont(name).face.charToGlyph) for name in FILES]
    written = map(chr, set.intersection(*each))
    return frozenset({"\n", *(sign for sign in written if not unicodedata.combining(sign))})


def readable(text: str) -> str:
    """Return the text composed and with plain line ends, or raise CannotPrint for what would be a box.

    Marks that don't compose with their letter are refused too: without shaping they would land
    beside it.
    """
    text = _composed(text)
    if not signs().issuperset(text):
        place = next(place for place, sign in enumerate(text) if sign not in signs())
        raise CannotPrint(_refusal(text, place))
    return text


def spelled(text: str) -> str:
    """Return the text with each sign that the type lacks as its number in Unicode: nothing is refused."""
    return "".join(sign if sign in signs() else f"[U+{ord(sign):04X}]" for sign in _composed(text))


def _composed(text: str) -> str:
    text = unicodedata.normalize("NFC", text).replace(SOFT_HYPHEN, "")
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")


def _refusal(text: str, place: int) -> Sentence:
    sign = text[place]
    start = max(0, place - 20)
    return Sentence(
        REFUSAL,
        (
            ("text", text[start : place + 20].strip()),
            ("sign", sign),
            ("name", unicodedata.name(sign, f"U+{ord(sign):04X}").lower()),
        ),
    )
