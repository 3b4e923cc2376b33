"""The catalog of exercises: sixteen cards, their doses, and which stage uses which.

The words are our own. Doses follow published programs where the card says so (each card carries its
source and status) and common practice elsewhere.
"""

from clinic.wording import gettext_noop

from .card import Card
from .cards_heavy import HEAVY_CARDS
from .cards_light import LIGHT_CARDS
from .dose import Dose

__all__ = ["CARDS", "CODES", "COMMON", "EDITION", "Card", "Dose", "card", "cards_for"]

# Date of this edition of the catalog; a program keeps the edition that it was written from.
EDITION = "2026-11-29"

CARDS: tuple[Card, ...] = LIGHT_CARDS + HEAVY_CARDS


COMMON = (
    gettext_noop("Warm your hand first."),
    gettext_noop("Move slowly and count."),
    gettext_noop("Keep breathing."),
    gettext_noop("Stop when the pain reaches your limit."),
    gettext_noop("Score your pain during the exercise, afterward and the next morning."),
)

_BY_CODE = {row.code: row for row in CARDS}
CODES = frozenset(_BY_CODE)


def card(code: str) -> Card:
    """Return the card by its code. Raises ValueError for an unknown code."""
    if code not in _BY_CODE:
        raise ValueError(f"no exercise is called {code!r}")
    return _BY_CODE[code]


def cards_for(stage: int) -> tuple[Card, ...]:
    """Return the cards of a stage (1–5) in the order of their numbers. Raises ValueError
    outside."""
    if stage not in range(1, 6):
        raise ValueError(f"stage {stage} is not in 1 to 5")
    return tuple(row for row in CARDS if stage in row.stages)
