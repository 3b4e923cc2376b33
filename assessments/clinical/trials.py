"""Which squeezes count, and when one more is asked for.

Source
------
Three trials and their mean: Hill et al. (2023) Physiother Theory Pract 39(5):1007–15. A fast squeeze
is invalid: "Pain free grip strength test", J Physiother 2013;59:59. How far apart trials may lie
has no published limit: `SPREAD_LIMIT`.
"""

from collections.abc import Iterable, Mapping

from assessments.clinical.grip import (
    MAX_SQUEEZES,
    MAX_TRIALS,
    SPREAD_LIMIT,
    scattered,
    spread,
)
from assessments.clinical.protocol import Squeeze
from clinic.evidence import Figure
from clinic.wording import Sentence, say


def counted_n(squeezes: Iterable[Squeeze]) -> tuple[float, ...]:
    """Return the forces that count, in newtons, in their order."""
    return tuple(squeeze.force_n for squeeze in squeezes if squeeze.struck is None)


def one_more(squeezes: Mapping[int, Squeeze], *, limit: Figure = SPREAD_LIMIT) -> Sentence | None:
    """Return why another squeeze is asked for, or None.

    `squeezes` by number, 1 to 6. After a squeeze that was struck out until three count; after three
    that lie further apart than `limit` (%). Never beyond `MAX_SQUEEZES`. Raises ValueError when more
    than three count, or as `spread`.
    """
    if len(squeezes) >= MAX_SQUEEZES:
        return None
    forces_n = counted_n(squeezes.values())
    if len(forces_n) < MAX_TRIALS:
        if len(forces_n) == len(squeezes):
            return None
        return say(
            "%(count)s of %(most)s trials count: squeeze once more.",
            count=len(forces_n),
            most=MAX_TRIALS,
        )
    apart = spread(forces_n)
    if apart is None or not scattered(forces_n, limit):
        return None
    return say(
        "%(share)s %% apart: squeeze once more, and strike out the one that was not done well.",
        share=round(apart),
    )


def cells_shown(squeezes: Mapping[int, Squeeze], *, limit: Figure = SPREAD_LIMIT) -> int:
    """Return how many trials a page offers: three, those on record, and the one asked for.

    Raises ValueError as `one_more`.
    """
    last = max(squeezes, default=0)
    asked = last + 1 if one_more(squeezes, limit=limit) else last
    return min(MAX_SQUEEZES, max(MAX_TRIALS, asked))
