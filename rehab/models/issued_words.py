"""The words that an exercise is issued with: kept in every language, so that nothing changes them later.

A translation is looked up by the sentence that it translates. It would be lost with the next edition of
the card, so the translations are kept beside the sentences.
"""

from dataclasses import asdict

from django.conf import settings
from django.utils import translation

from clinic.templatetags.clinic_tags import say
from rehab.clinical.exercises import Card

TEXTS = (
    "name", "start", "steps", "usual_mistake", "caution", "equipment", "structures", "usual_dose",
    "gate",
)  # fmt: skip


def as_issued(card: Card) -> dict[str, object]:
    """What the card says now, with its translations; `card_of` reads it back."""
    others = [code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE]
    return card.as_json() | {"translated": {code: _translated(card, code) for code in others}}


def _translated(card: Card, language: str) -> dict[str, object]:
    """The texts that have a translation; the others may still get one and are left to be looked up."""
    written = asdict(card)
    with translation.override(language):
        said = {
            name: tuple(map(say, written[name])) if name == "steps" else say(written[name])
            for name in TEXTS
        }
    return {name: text for name, text in said.items() if text != written[name]}


def card_of(words: dict) -> Card:
    """The card as it was issued, in the language in force."""
    kept = {name: part for name, part in words.items() if name != "translated"}
    return Card.from_json(kept | words["translated"].get(translation.get_language(), {}))
