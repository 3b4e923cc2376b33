"""What the patient owns to train with, and which loads can be made with it.

Peterson 2011, doi:10.3109/03009734.2011.600476: a bottle is filled with 100 ml of water for each 0.1 kg;
that it goes up to 2 kg is common practice. What an exercise needs is said on its card; the table below
repeats it in a form that can be compared.
"""

from dataclasses import dataclass
from enum import StrEnum

from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say

BOTTLE_STEP = Figure(
    value=0.1,
    unit="kg",
    source="Peterson 2011, doi:10.3109/03009734.2011.600476",
    status=Status.SECOND_HAND,
    limits=gettext_noop("100 ml of water weigh 0.1 kg."),
)
BOTTLE_MOST = Figure(
    value=2,
    unit="kg",
    source="none",
    status=Status.CONVENTION,
    limits=gettext_noop("A bottle that a hand can hold."),
)
HEAVIEST_KG = 50.0


class Tool(StrEnum):
    """What an exercise is done with, where nothing else will do."""

    WEIGHT = gettext_noop("a weight or a bottle")
    HAMMER = gettext_noop("a hammer or another offset weight")
    BAND = gettext_noop("an elastic band")
    BALL = gettext_noop("a soft ball")
    TWIST_BAR = gettext_noop("a flexible bar")


# Card → what it is done with; one of them is enough. A card that is not here needs nothing that is counted.
TOOLS: dict[str, tuple[Tool, ...]] = {
    "lower-slowly":      (Tool.WEIGHT,),
    "lift-and-lower":    (Tool.WEIGHT,),
    "thumb-up-lift":     (Tool.HAMMER, Tool.WEIGHT),
    "turn-palm":         (Tool.HAMMER,),
    "ball-squeeze":      (Tool.BALL,),
    "straight-arm-lift": (Tool.WEIGHT, Tool.BAND),
    "row":               (Tool.BAND,),
    "shoulder-turn":     (Tool.BAND,),
    "twist-bar":         (Tool.TWIST_BAR,),
}  # fmt: skip

# These may be done without a weight, so they need none; what is taken is one that is owned.
ALSO_WEIGHED = ("wrist-hold",)


@dataclass(frozen=True, kw_only=True)
class Owned:
    """What one patient owns; weights in kg. Raises ValueError for a weight of 0 or less, or above 50."""

    weights_kg: tuple[float, ...] = ()
    bottle: bool = False
    hammer_kg: float | None = None
    band: bool = False
    ball: bool = False
    twist_bar: bool = False

    def __post_init__(self) -> None:
        hammer = () if self.hammer_kg is None else (self.hammer_kg,)
        for kg in (*self.weights_kg, *hammer):
            if not 0 < kg <= HEAVIEST_KG:
                raise ValueError(f"{kg} kg is not a weight to train with")

    def loads_kg(self, card: str | None = None) -> tuple[float, ...]:
        """Return every load in kg that can be made, lightest first; a hammer where the card takes one."""
        bottle = bottle_loads_kg() if self.bottle else ()
        hammer = (self.hammer_kg,) if self.hammer_kg and _takes_hammer(card) else ()
        return tuple(sorted({round(kg, 3) for kg in (*self.weights_kg, *bottle, *hammer)}))

    def owns(self, load_kg: float, card: str | None = None) -> bool:
        """Return whether a load in kg can be made; 0 is work without a weight."""
        return load_kg == 0 or any(abs(kg - load_kg) < 1e-6 for kg in self.loads_kg(card))

    def lacks(self, card: str) -> Sentence | None:
        """Return what the patient would need for an exercise and doesn't own, or None."""
        needed = TOOLS.get(card, ())
        if not needed or any(self._has(tool) for tool in needed):
            return None
        return NEEDED[needed[0]]

    def words(self, card: str | None = None) -> Sentence:
        """Return which loads the patient owns for an exercise, for example "1, 1.5 and 2 kg"."""
        hammer = (self.hammer_kg,) if self.hammer_kg and _takes_hammer(card) else ()
        single = sorted({*self.weights_kg, *hammer})
        if not single:
            return BOTTLE_WORDS if self.bottle else say("The patient owns no weight.")
        *others, last = (f"{kg:g}" for kg in single)
        values = {"others": ", ".join(others), "last": last}
        if others:
            return say(SEVERAL_AND_BOTTLE if self.bottle else SEVERAL, **values)
        return say(ONE_AND_BOTTLE if self.bottle else ONE, last=last)

    def _has(self, tool: Tool) -> bool:
        return {
            Tool.WEIGHT: bool(self.weights_kg) or self.bottle,
            Tool.HAMMER: self.hammer_kg is not None,
            Tool.BAND: self.band,
            Tool.BALL: self.ball,
            Tool.TWIST_BAR: self.twist_bar,
        }[tool]


ONE = gettext_noop("The patient owns %(last)s kg.")
SEVERAL = gettext_noop("The patient owns %(others)s and %(last)s kg.")
ONE_AND_BOTTLE = gettext_noop(
    "The patient owns %(last)s kg, and a bottle for 0.1 to 2 kg in steps of 0.1 kg."
)
SEVERAL_AND_BOTTLE = gettext_noop(
    "The patient owns %(others)s and %(last)s kg, and a bottle for 0.1 to 2 kg in steps of 0.1 kg."
)
BOTTLE_WORDS = say("The patient owns a bottle, for 0.1 to 2 kg in steps of 0.1 kg.")
NEEDED = {
    Tool.WEIGHT: say("It needs a weight or a bottle, and the patient owns none."),
    Tool.HAMMER: say("It needs a hammer or another offset weight, and the patient owns none."),
    Tool.BAND: say("It needs an elastic band, and the patient owns none."),
    Tool.BALL: say("It needs a soft ball or putty, and the patient owns no ball."),
    Tool.TWIST_BAR: say("It needs a flexible bar, and the patient owns none."),
}


def bottle_loads_kg() -> tuple[float, ...]:
    """Return the loads in kg that a bottle is filled to: 0.1 kg each up to 2 kg."""
    steps = round(BOTTLE_MOST.value / BOTTLE_STEP.value)
    return tuple(round(BOTTLE_STEP.value * number, 1) for number in range(1, steps + 1))


def is_weighed(card: str) -> bool:
    """Return whether an exercise's load is a weight or a hammer; a box, a band or a ball is not counted."""
    return card in ALSO_WEIGHED or bool({Tool.WEIGHT, Tool.HAMMER} & set(TOOLS.get(card, ())))


def _takes_hammer(card: str | None) -> bool:
    return Tool.HAMMER in TOOLS.get(card or "", ())


def next_down_kg(load_kg: float, loads_kg: tuple[float, ...]) -> float:
    """Return the heaviest of the loads (kg) below one; 0 is without a weight."""
    return max((kg for kg in loads_kg if kg < load_kg - 1e-6), default=0.0)


def at_most_kg(load_kg: float, loads_kg: tuple[float, ...]) -> float:
    """Return the heaviest of the loads (kg) that is not above one; 0 is without a weight."""
    return max((kg for kg in loads_kg if kg <= load_kg + 1e-6), default=0.0)
