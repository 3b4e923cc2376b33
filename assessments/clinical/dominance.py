"""How much stronger the dominant hand is expected to be.

Source
------
Petersen et al. (1989) Am J Occup Ther 43:444–7, doi 10.5014/ajot.43.7.444: right-handers differ,
left-handers don't.
"""

from cases.clinical.labels import Labelled
from cases.clinical.sides import Handedness, Side
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop

_PETERSEN = "Petersen et al. 1989 Am J Occup Ther 43:444–7, doi 10.5014/ajot.43.7.444; n = 310"
_AMBIGUOUS = (
    "the abstract does not say whether the difference is a share of the non-dominant or of the "
    "dominant hand; later studies found 0.1–3 % to 10 %"
)

DOMINANT_STRONGER = {
    Handedness.RIGHT: Figure(
        value=12.72, unit="%", source=_PETERSEN, status=Status.PUBLISHED, limits=_AMBIGUOUS
    ),
    Handedness.LEFT: Figure(
        value=-0.08,
        unit="%",
        source=_PETERSEN,
        status=Status.PUBLISHED,
        limits="so close to 0 that the two hands of a left-hander are taken as equal",
    ),
}


class DominanceFormula(Labelled):
    """Two readings of "the dominant hand is 12.72 % stronger"; D dominant, N non-dominant."""

    OF_NON_DOMINANT = "of_non_dominant", gettext_noop("(D − N) / N")
    OF_DOMINANT = "of_dominant", gettext_noop("(D − N) / D")


def expected_ratio(
    handedness: Handedness,
    affected_side: Side,
    formula: DominanceFormula = DominanceFormula.OF_NON_DOMINANT,
) -> float:
    """Return affected ÷ other as expected of two healthy arms, unit-free.

    Right-handers: Petersen 1989. Left-handers and people who use both hands alike: 1. Where the hand is not
    stated nothing is adjusted: 1 as well.
    """
    if handedness is not Handedness.RIGHT:
        return 1.0
    share = DOMINANT_STRONGER[Handedness.RIGHT].value / 100
    stronger = 1 + share if formula is DominanceFormula.OF_NON_DOMINANT else 1 / (1 - share)
    return stronger if affected_side is Side.RIGHT else 1 / stronger
