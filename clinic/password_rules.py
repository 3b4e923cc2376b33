"""What a password may not be, beside short or common: words that everybody around its owner knows.

OWASP ASVS 5.0, 6.2.11 asks for such a list; there are no rules of composition (6.2.5), no end date (6.2.10).
"""

import re
import unicodedata

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

# Of the trade and of signing in.
TRADE = {
    "arm", "clinic", "elbow", "exercise", "grip", "login", "manager", "pain", "password", "patient",
    "physio", "physiotherapist", "physiotherapy", "rehab", "rehabilitation", "secret", "staff",
    "tendinopathy", "tendon", "tennis", "therapist", "therapy", "welcome", "wrist",
}  # fmt: skip
SHORTEST_WORD = 3
# What must be left: as many characters as the shortest password that ASVS 6.2.1 knows.
LEAST_LEFT = 8
DISGUISES = str.maketrans("013457@$!", "oieastasi")


def plain(text: str) -> str:
    """Return the text without capitals and accents."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(part for part in parts if not unicodedata.combining(part))


class KnownWords:
    """Refuses a password of which too little is left without the words that colleagues would try first."""

    def validate(self, password: str, user=None) -> None:
        text = plain(password)
        found = []
        for word in sorted(known_to_all(user), key=len, reverse=True):
            if word in text or word in text.translate(DISGUISES):
                found.append(word)
                text = without(word, text)
        if found and len(re.findall(r"\w", text)) < LEAST_LEFT:
            raise ValidationError(
                _(
                    "Everybody here would try “%(words)s”, and too little is left without. "
                    "Add words that have nothing to do with you or the clinic."
                ),
                code="known_words",
                params={"words": " ".join(found)},
            )

    def get_help_text(self) -> str:
        return _("It is more than your name, the clinic's and words of the trade.")


class Repetition:
    """Refuses a short piece that is only repeated: its length says nothing."""

    def validate(self, password: str, user=None) -> None:
        piece = (password + password).find(password, 1)
        if piece < min(LEAST_LEFT, len(password)):
            raise ValidationError(
                _("This is the same few characters over and over. Use several words."),
                code="repetition",
            )

    def get_help_text(self) -> str:
        return _("It is not the same few characters over and over.")


def known_to_all(user) -> set[str]:
    """The words of the trade, of the person's names and of the clinic's."""
    clinic = getattr(user, "clinic", None)
    texts = [
        *(getattr(user, name, "") for name in ("username", "first_name", "last_name", "email")),
        *(getattr(clinic, name, "") for name in ("name", "address", "email")),
    ]
    words = re.findall(r"[^\W\d_]+", plain(" ".join(texts)))
    return TRADE | {word for word in words if len(word) >= SHORTEST_WORD}


def without(word: str, text: str) -> str:
    """Return the text without the word, however its letters are disguised as digits and signs."""
    undisguised = text.translate(DISGUISES)
    while word in undisguised:
        at = undisguised.index(word)
        text, undisguised = (
            part[:at] + " " * len(word) + part[at + len(word) :] for part in (text, undisguised)
        )
    return text
