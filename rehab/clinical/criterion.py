"""What a criterion of the ladder is, and how yes, no and unknown go together."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from clinic.wording import Sentence, say

from .arm import ArmToday, Course
from .thresholds import Limits, Threshold


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """One criterion: `held` is None when a value is missing. `about` is data, load or stage."""

    about: str
    words: Sentence
    held: bool | None
    found: Sentence
    gate: Sentence
    figure: Threshold
    distance: Sentence | None = None

    def as_json(self) -> dict[str, Any]:
        """Return plain values; `from_json` reads them back."""
        return {
            "about": self.about,
            "words": self.words.as_json(),
            "held": self.held,
            "found": self.found.as_json(),
            "gate": self.gate.as_json(),
            "figure": self.figure.as_json(),
            "distance": self.distance.as_json() if self.distance else None,
        }

    @classmethod
    def from_json(cls, stored: dict[str, Any]) -> "Criterion":
        """Rebuild a stored criterion as it stood."""
        distance = stored["distance"]
        return cls(
            about=stored["about"],
            words=Sentence.from_json(stored["words"]),
            held=stored["held"],
            found=Sentence.from_json(stored["found"]),
            gate=Sentence.from_json(stored["gate"]),
            figure=Threshold.from_json(stored["figure"]),
            distance=Sentence.from_json(distance) if distance else None,
        )


Rule = Callable[[ArmToday, Course, Limits], Criterion]

NOT_MEASURED = say("Not measured.")


def all_of(answers: Iterable[bool | None]) -> bool | None:
    """Return False when any is False, else None when any is unknown, else True."""
    given = tuple(answers)
    if False in given:
        return False
    return None if None in given else True


def any_of(*answers: bool | None) -> bool | None:
    """Return True when any is True, else None when any is unknown, else False."""
    if True in answers:
        return True
    return None if None in answers else False


def days_to_go(row: Threshold, days: int | None) -> Sentence | None:
    """Return how many days are left to the row\'s value, or None when reached or not known."""
    if days is None or days >= row.value:
        return None
    return say("%(days)s days to go", days=int(row.value - days))


def stage_criterion(
    words: Sentence,
    held: bool | None,
    found: Sentence,
    gate: Sentence,
    row: Threshold,
    distance: Sentence | None = None,
) -> Criterion:
    """Return a criterion about the stage; a distance is kept only while it does not hold."""
    return Criterion(
        about="stage",
        words=words,
        held=held,
        found=found,
        gate=gate,
        figure=row,
        distance=None if held else distance,
    )
