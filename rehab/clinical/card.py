"""What one exercise card holds."""

from dataclasses import dataclass

from clinic.evidence import Status

from .dose import Dose


@dataclass(frozen=True, kw_only=True)
class Card:
    """One exercise as it goes home on paper, in plain words (reading age about 11).

    `stages` are the rungs 1–5 of the ladder it belongs to. `dose` is the low end of what is usual,
    a default that the physiotherapist changes; `usual_dose` prints the whole range. `gate` is what
    lets the exercise in. `source` and `status` speak of the dose, not of the wording, which is our
    own.
    """

    number: int
    code: str
    name: str
    start: str
    steps: tuple[str, ...]
    usual_mistake: str
    caution: str
    equipment: str
    stages: tuple[int, ...]
    dose: Dose
    usual_dose: str
    gate: str
    source: str
    status: Status
    optional: bool = False
