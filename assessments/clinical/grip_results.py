"""What the grip tests of one visit say together: from bent to straight, and against the maximum.

Sources
-------
Loss from bent to straight elbow: Dorf et al. (2007) J Hand Surg Am 32(6):882–6; its 8 % is of maximal
grip and its denominator is not printed. Pain-free grip as a share of the maximum of the unaffected
side: Cooke et al. (2021), n = 21.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from assessments.clinical.grip import (
    ElbowDifference,
    elbow_difference,
    mean_n,
    pain_free_share,
)
from assessments.clinical.protocol import MAXIMAL_BENT, PAIN_FREE_BENT, PAIN_FREE_STRAIGHT, Way
from cases.clinical.reasons import Named
from cases.clinical.sides import Side
from clinic.evidence import Status
from clinic.wording import Sentence, say

Trials = Mapping[tuple[Way, Side], tuple[float, ...]]

SHARE_OF_MAXIMUM = Named(
    source="Cooke et al. 2021, n = 21",
    status=Status.PUBLISHED,
    limits=(
        "normalized to the maximum of the unaffected side; no threshold is known. The maximum here is "
        "measured at 90 degrees, thumb up, so that the share mixes two positions"
    ),
)


@dataclass(frozen=True, kw_only=True)
class ElbowLoss:
    """Pain-free force lost from bent to straight elbow on one side."""

    side: Side
    difference: ElbowDifference


@dataclass(frozen=True, kw_only=True)
class PainFreeShare:
    """Pain-free grip of the affected side in % of a maximum; None where that was not measured."""

    way: Way
    of_other: float | None
    of_own: float | None


def elbow_losses(trials: Trials, *, affected: Side) -> tuple[ElbowLoss, ...]:
    """Return the loss of pain-free grip from bent to straight, unaffected side first.

    `trials` are the newtons that count. A side is left out unless both positions gave a force.
    Raises ValueError as `mean_n`.
    """
    return tuple(
        ElbowLoss(side=side, difference=elbow_difference(straight, bent))
        for side in (affected.other, affected)
        if (straight := _mean(trials, PAIN_FREE_STRAIGHT, side))
        and (bent := _mean(trials, PAIN_FREE_BENT, side))
    )


def pain_free_shares(trials: Trials, *, affected: Side) -> tuple[PainFreeShare, ...]:
    """Return pain-free grip of the affected side as a share of the maximum of either side, by way.

    A way is left out when it, or both maxima, were not measured. Raises ValueError as `mean_n`.
    """
    other = _mean(trials, MAXIMAL_BENT, affected.other)
    own = _mean(trials, MAXIMAL_BENT, affected)
    return tuple(
        PainFreeShare(
            way=way,
            of_other=pain_free_share(mine, other) if other else None,
            of_own=pain_free_share(mine, own) if own else None,
        )
        for way in (PAIN_FREE_STRAIGHT, PAIN_FREE_BENT)
        if (mine := _mean(trials, way, affected)) is not None and (own or other)
    )


def yardstick(*, other_side_sore: bool | None) -> Sentence | None:
    """Return what can't be said because of the other side; None when it is known to be well."""
    if other_side_sore:
        return say(
            "The other elbow is sore too, so it is no yardstick: no ratio and no deficit is worked "
            "out. The change since the last visit and the reference tables still hold."
        )
    if other_side_sore is None:
        return say(
            "Whether the other elbow is well is not on record: the battery has not tested it. The "
            "ratio holds only if it is."
        )
    return None


def _mean(trials: Trials, way: Way, side: Side) -> float | None:
    forces_n = trials.get((way, side), ())
    return mean_n(forces_n) if forces_n else None
