"""Which exercises a program starts with.

Two to four exercises at a time: common practice. Henry 1999 (Phys Ther 79:270–277, n = 15) found two done
better than eight; it supports "few" and proves no number.
"""

from clinic.evidence import Figure, Status

from .ladder import STAGES, Stage

MOST_EXERCISES = Figure(
    value=4,
    unit="exercises",
    source="Henry 1999, Phys Ther 79:270–277 supports few exercises, not this number",
    status=Status.CONVENTION,
)

# The exercise that the ladder raises comes first; the others are those whose gate is open at entry.
# Common practice, no source. What else the stage holds is added when its own gate is met.
FIRST_CHOICE: dict[Stage, tuple[str, ...]] = {
    Stage.ISOMETRIC: ("wrist-hold", "fist-hold", "open-hand"),
    Stage.LIGHT_ISOTONIC: ("lift-and-lower", "open-hand", "row"),
    Stage.SLOW_RESISTANCE: ("straight-arm-lift", "turn-palm", "thumb-up-lift", "row"),
    Stage.HEAVY_AND_FAST: ("straight-arm-lift", "turn-palm", "lift-and-carry"),
    Stage.RETURN_TO_ACTIVITY: ("shadow-swing", "lift-and-carry", "row"),
}


def first_choice(stage: Stage) -> tuple[str, ...]:
    """Return the codes of the cards that a program of this stage starts with, the main one first."""
    return FIRST_CHOICE[Stage(stage)]


def also_possible(stage: Stage, chosen: tuple[str, ...]) -> tuple[str, ...]:
    """Return the codes of the stage's other exercises, in the order of the ladder's table."""
    return tuple(code for code in STAGES[Stage(stage) - 1].main if code not in chosen)
