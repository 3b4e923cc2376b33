"""What one exercise card holds."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from clinic.evidence import Status

from .dose import Dose


@dataclass(frozen=True, kw_only=True)
class Card:
    """One exercise as it goes home on paper, in plain words (reading age about 11).

    `number` is its place in the catalog; a clinic's own exercise has none. `stages` are the rungs 1–5 of
    the ladder it belongs to. `dose` is where a program begins, a default inside the usual range that the
    physiotherapist changes: the first repetition maximum where several follow, the slow end where tempos
    differ, the low end elsewhere. `usual_dose` prints the range; `source` and `status` speak of what it
    prints. A rest that it does not print is common practice, without a source. `structures` are what is
    loaded, in the trade's terms: general anatomy, without a source. `gate` is what lets the exercise in.
    The wording is our own.
    """

    number: int | None = None
    code: str
    name: str
    start: str
    steps: tuple[str, ...]
    usual_mistake: str
    caution: str
    equipment: str
    structures: str
    stages: tuple[int, ...]
    dose: Dose
    usual_dose: str
    gate: str
    source: str
    status: Status
    optional: bool = False

    @property
    def for_patients(self) -> tuple[str, ...]:
        """Return everything that is printed for the patient, text by text."""
        texts = (self.start, *self.steps, self.usual_mistake, self.caution, self.equipment)
        return tuple(text for text in texts if text)

    def as_json(self) -> dict[str, Any]:
        """Return what `from_json` reads back."""
        return asdict(self) | {"status": str(self.status)}

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> "Card":
        """Return the card that `as_json` wrote down. Raises TypeError for one with other fields."""
        fields = {
            "steps": tuple(stored["steps"]),
            "stages": tuple(stored["stages"]),
            "dose": Dose(**stored["dose"]),
            "status": Status(stored["status"]),
        }
        return cls(**(dict(stored) | fields))
