"""Sentences that pure code may build and pages may translate.

`clinical/` modules know no Django, so they cannot call gettext. They build a `Sentence` with
`say("Grip is %(share)s of the other side.", share="62 %")`; the template filter `say` translates the
text and fills it in. `makemessages` collects the first argument of `say` and of `gettext_noop`.
"""

from dataclasses import dataclass
from typing import Any


def gettext_noop(message: str) -> str:
    """Mark a plain message for translation and return it unchanged."""
    return message


@dataclass(frozen=True)
class Sentence:
    """A message with named values; `str()` gives it in English, filled in."""

    text: str
    values: tuple[tuple[str, object], ...] = ()

    def __str__(self) -> str:
        return self.text % dict(self.values)

    def as_json(self) -> dict[str, Any]:
        """Return what `from_json` reads back; values become numbers or strings."""
        plain = {
            name: value if isinstance(value, int | float) else str(value)
            for name, value in self.values
        }
        return {"text": self.text, "values": plain}

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> "Sentence":
        return say(stored["text"], **stored["values"])


def short(value: float) -> float:
    """Return a number that is written 3 or 3.5, never 3.0: the page sets its decimal sign."""
    return int(value) if value == int(value) else value


def say(text: str, **values: object) -> Sentence:
    """Return the sentence `text` with `%(name)s` places to be filled from `values`."""
    # Sorted: PostgreSQL keeps stored JSON in an order of its own, and what is read back must be equal.
    return Sentence(text, tuple(sorted(values.items())))
