"""Which exercises a program starts with.

Two to four exercises at a time: common practice. Henry 1999 (Phys Ther 79:270–277, n = 15) found two done
better than eight; it supports "few" and proves no number.
"""

from collections.abc import Collection, Iterable

from clinic.evidence import Figure, Status

from .card import Card
from .exercises import cards_for
from .ladder import Stage, stage_row

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


# The ladder raises the first exercise of each stage, so a clinic can't leave these out.
RAISED = tuple(codes[0] for codes in FIRST_CHOICE.values())


def first_choice(stage: Stage, *, hidden: Collection[str] = ()) -> tuple[str, ...]:
    """Return the codes of the cards that a program of this stage starts with, the main one first.

    `hidden` are the codes of cards that a clinic does not offer.
    """
    return tuple(code for code in FIRST_CHOICE[Stage(stage)] if code not in hidden)


def also_possible(
    stage: Stage,
    chosen: Collection[str],
    *,
    own: Iterable[Card] = (),
    hidden: Collection[str] = (),
) -> tuple[str, ...]:
    """Return the codes of the stage's other exercises: the ladder's table first, the clinic's own last.

    `own` are the clinic's own cards of any stage, `hidden` the codes of cards that it does not offer.
    """
    main = stage_row(stage).main
    others = (card.code for card in cards_for(stage) if card.code not in main)
    theirs = (card.code for card in own if stage in card.stages)
    return tuple(code for code in (*main, *others, *theirs) if code not in {*chosen, *hidden})
