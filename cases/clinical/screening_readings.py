"""What the recorded signs of a screening say, and where they do not fit the answers.

A sign never answers a question by itself: where what was found and what was answered do not fit together, the
page asks. No probability of a condition is computed.

Sources: those of `screening_signs`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from cases.clinical.screening import BY_CODE
from cases.clinical.screening_signs import (
    ELBOW_EXTENSION,
    GROUPS,
    NECK,
    NECK_FOUR_OF_FOUR,
    NECK_THREE_OF_FOUR,
    SIGNS,
    Outcome,
    Sign,
    SignGroup,
)
from cases.clinical.sides import Side
from clinic.evidence import Figure
from clinic.wording import Sentence, gettext_noop, say


@dataclass(frozen=True, kw_only=True)
class RecordedSign:
    """One sign as it was found. `side` is set where each arm has its own answer, and only there."""

    code: str
    outcome: Outcome
    side: Side | None = None

    def __post_init__(self) -> None:
        if self.code not in SIGNS:
            raise ValueError(f"there is no sign {self.code!r}")
        if (self.side is None) is SIGNS[self.code].both_sides:
            raise ValueError(
                f"{self.code} is recorded {'on each side' if self.side is None else 'once'}"
            )


def spots(group: SignGroup) -> tuple[tuple[Sign, Side | None], ...]:
    """Return each sign of the group with each side that it is recorded on; None is "once"."""
    return tuple(
        (sign, side)
        for sign in group.signs
        for side in (tuple(Side) if sign.both_sides else (None,))
    )


@dataclass(frozen=True, kw_only=True)
class GroupReading:
    """How many signs of a group were looked for and found, in words, with the figure that fits."""

    group: SignGroup
    looked_for: int
    found: int
    sentence: Sentence
    figures: tuple[Figure, ...] = ()

    @property
    def speaks_for_yes(self) -> bool:
        """Whether enough was found to ask what the group's question was answered."""
        return self.found >= self.group.enough


_COUNT = gettext_noop("%(found)s of %(looked_for)s found.")
_SOME_LEFT = gettext_noop(
    "%(found)s of %(looked_for)s found, %(left)s not tested: the published figures need all four."
)
_NO_FIGURE = gettext_noop(
    "%(found)s of 4 found; a figure is published for three and for four only."
)
_STRAIGHT = gettext_noop("Straightens fully.")
_NOT_STRAIGHT = gettext_noop(
    "Can't straighten fully (%(side)s). After an injury: X-ray, and no resisted tests before it."
)
_NOT_STRAIGHT_BOTH = gettext_noop(
    "Neither elbow straightens fully. After an injury: X-ray, and no resisted tests before it."
)


def read_groups(recorded: Iterable[RecordedSign]) -> tuple[GroupReading, ...]:
    """Return a reading of every group of which something was looked for, in the order of `GROUPS`.

    Raises ValueError when a sign is recorded twice on the same side.
    """
    by_spot: dict[tuple[str, Side | None], Outcome] = {}
    for sign in recorded:
        if (sign.code, sign.side) in by_spot:
            raise ValueError(f"{sign.code} is recorded twice")
        by_spot[sign.code, sign.side] = sign.outcome
    readings = (_read(group, by_spot) for group in GROUPS)
    return tuple(reading for reading in readings if reading.looked_for)


def _read(group: SignGroup, by_spot: dict[tuple[str, Side | None], Outcome]) -> GroupReading:
    outcomes = {
        (sign.code, side): by_spot[sign.code, side]
        for sign, side in spots(group)
        if (sign.code, side) in by_spot
    }
    found = [side for (_code, side), outcome in outcomes.items() if outcome is Outcome.FOUND]
    sentence, figures = _in_words(group, found, len(outcomes))
    return GroupReading(
        group=group, looked_for=len(outcomes), found=len(found), sentence=sentence, figures=figures
    )


def _in_words(
    group: SignGroup, found: list[Side | None], looked_for: int
) -> tuple[Sentence, tuple[Figure, ...]]:
    if group is ELBOW_EXTENSION:
        return _extension_in_words(found), ()
    if group is NECK:
        return _neck_in_words(len(found), looked_for)
    return say(_COUNT, found=len(found), looked_for=looked_for), ()


def _extension_in_words(found: list[Side | None]) -> Sentence:
    if not found:
        return say(_STRAIGHT)
    side = found[0]
    if len(found) > 1 or side is None:
        return say(_NOT_STRAIGHT_BOTH)
    return say(_NOT_STRAIGHT, side=side.label)


def _neck_in_words(found: int, looked_for: int) -> tuple[Sentence, tuple[Figure, ...]]:
    left = len(NECK.signs) - looked_for
    if left:
        return say(_SOME_LEFT, found=found, looked_for=looked_for, left=left), ()
    published = {3: NECK_THREE_OF_FOUR, 4: NECK_FOUR_OF_FOUR}
    if found not in published:
        return say(_NO_FIGURE, found=found), ()
    return say(_COUNT, found=found, looked_for=looked_for), (published[found],)


_DISPUTED = gettext_noop(
    "%(title)s: enough was found to ask, but “%(condition)s” is answered no. Which is right?"
)


def disputed(readings: Iterable[GroupReading], answers: Mapping[str, str]) -> tuple[Sentence, ...]:
    """Return a question for each reading that speaks for a yes where the answer is "no".

    `answers` maps the code of a screening question to its answer; one that was not asked disputes nothing.
    """
    return tuple(
        say(
            _DISPUTED,
            title=say(reading.group.title),
            condition=say(BY_CODE[reading.group.question].condition),
        )
        for reading in readings
        if reading.speaks_for_yes and answers.get(reading.group.question) == "no"
    )
