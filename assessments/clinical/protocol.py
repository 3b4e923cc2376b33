"""Which grip tests a visit holds, and when a reading looks as if the dial had another unit.

Source
------
Pain-free grip with a straight elbow on both sides: Hill et al. (2023) Physiother Theory Pract
39(5):1007–15. Maximal grip at 90 degrees: the seated position of the American Society of Hand
Therapists, as described in the introduction of Bohannon (2006), doi 10.1016/j.physio.2005.05.003.
"""

from dataclasses import dataclass

from assessments.clinical.force import Unit, to_newtons
from assessments.clinical.grip import Effort, Position
from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way of squeezing; only the same way may be compared. `slug` names its fields."""

    slug: str
    effort: Effort
    position: Position
    name: str


PAIN_FREE_STRAIGHT = Way(
    slug="pain_free",
    effort=Effort.PAIN_FREE,
    position=Position.STRAIGHT,
    name=gettext_noop("Pain-free, elbow straight"),
)
MAXIMAL_BENT = Way(
    slug="maximal",
    effort=Effort.MAXIMAL,
    position=Position.BENT,
    name=gettext_noop("Maximal, elbow at 90 degrees"),
)
PAIN_FREE_BENT = Way(
    slug="pain_free_bent",
    effort=Effort.PAIN_FREE,
    position=Position.BENT,
    name=gettext_noop("Pain-free, elbow at 90 degrees"),
)
WAYS = (PAIN_FREE_STRAIGHT, PAIN_FREE_BENT, MAXIMAL_BENT)


class Struck(Labelled):
    """Why a trial does not count. Lim (2013): a fast squeeze is invalid; pain-free ends at pain."""

    TOO_FAST = "too_fast", gettext_noop("squeezed too fast")
    PAST_PAIN = "past_pain", gettext_noop("went on past the first pain")
    SLIPPED = "slipped", gettext_noop("slipped or was read wrongly")


@dataclass(frozen=True, kw_only=True)
class Squeeze:
    """One trial in newtons; `struck` says why it does not count."""

    force_n: float
    struck: Struck | None = None


LOW_GRIP = Figure(
    value=60,
    unit="N",
    source="no published limit was found",
    status=Status.CLINIC_SETTING,
    limits="a maximal grip, or one of the unaffected side, below it is asked about, never refused",
)


def seems_too_low(
    value: float, unit: Unit, way: Way, *, affected: bool, limit: Figure = LOW_GRIP
) -> bool:
    """Return whether a dial reading is so low that the dial may show another unit.

    Pain may stop a pain-free grip of the affected side at any force, so that one is never asked
    about. `limit` is in newtons. Raises ValueError as `to_newtons`.
    """
    expected_strong = way.effort is Effort.MAXIMAL or not affected
    return expected_strong and to_newtons(value, unit) < limit.value
