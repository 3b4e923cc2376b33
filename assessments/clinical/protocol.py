"""Which grip tests a visit holds, and when a reading looks as if the dial had another unit.

Source
------
Pain-free grip, palm down, with a straight elbow and at 90 degrees: Hill et al. (2023) Physiother
Theory Pract 39(5):1007–15. Unaffected side first, squeezed at one rate, a fast squeeze invalid:
"Pain free grip strength test", J Physiother 2013;59:59. Maximal grip at 90 degrees: the seated
position of the American Society of Hand Therapists, as described in the introduction of Bohannon
(2006), doi 10.1016/j.physio.2005.05.003.
"""

from dataclasses import dataclass

from assessments.clinical.force import Unit, to_newtons
from assessments.clinical.grip import Effort, Position
from cases.clinical.labels import Labelled
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way of squeezing; only the same way may be compared. `slug` names its fields.

    `figure` is the drawing of the position; `steps` say in our own words how it is done, and
    `source` where the position comes from, known as `status`.
    """

    slug: str
    effort: Effort
    position: Position
    name: str
    figure: str
    steps: tuple[str, ...]
    source: str
    status: Status


_HILL = "Hill et al. 2023 Physiother Theory Pract 39(5):1007–15"
_AT_FIRST_PAIN = gettext_noop(
    "Say: “Squeeze slowly, harder and harder, and stop at the first pain.” The other side at the "
    "same rate, until it pains or can't squeeze harder."
)

PAIN_FREE_STRAIGHT = Way(
    slug="pain_free",
    effort=Effort.PAIN_FREE,
    position=Position.STRAIGHT,
    name=gettext_noop("Pain-free, elbow straight"),
    figure="grip-straight",
    steps=(
        gettext_noop(
            "Arm forward at the height of the shoulder, elbow straight, palm down; the same body "
            "position at every visit."
        ),
        _AT_FIRST_PAIN,
    ),
    source=_HILL,
    status=Status.PUBLISHED,
)
PAIN_FREE_BENT = Way(
    slug="pain_free_bent",
    effort=Effort.PAIN_FREE,
    position=Position.BENT,
    name=gettext_noop("Pain-free, elbow at 90 degrees"),
    figure="grip-bent-palm-down",
    steps=(
        gettext_noop("Upper arm hanging beside the body, elbow at 90 degrees, palm down."),
        _AT_FIRST_PAIN,
    ),
    source=_HILL,
    status=Status.PUBLISHED,
)
MAXIMAL_BENT = Way(
    slug="maximal",
    effort=Effort.MAXIMAL,
    position=Position.BENT,
    name=gettext_noop("Maximal, elbow at 90 degrees"),
    figure="grip-bent",
    steps=(
        gettext_noop(
            "Seated, upper arm against the body, elbow at 90 degrees, thumb up; handle of the "
            "dynamometer in position 2."
        ),
        gettext_noop("Say: “Squeeze slowly, as hard as you can, then let go.”"),
        gettext_noop(
            "Not in the first 1–2 weeks after a steroid injection (usual practice, from memory)."
        ),
    ),
    source=(
        "American Society of Hand Therapists, as described in Bohannon 2006 Physiotherapy "
        "92:11–15, doi 10.1016/j.physio.2005.05.003"
    ),
    status=Status.SECOND_HAND,
)
WAYS = (PAIN_FREE_STRAIGHT, PAIN_FREE_BENT, MAXIMAL_BENT)


class Struck(Labelled):
    """Why a trial does not count. Lim (2013): a fast squeeze is invalid; pain-free ends at pain."""

    TOO_FAST = "too_fast", gettext_noop("squeezed too fast")
    PAST_PAIN = "past_pain", gettext_noop("went on past the first pain")
    SLIPPED = "slipped", gettext_noop("slipped or was read wrongly")


# On keyboard and screen: the letter typed after a reading, and the word that fits under it.
LETTERS = {Struck.TOO_FAST: "f", Struck.PAST_PAIN: "p", Struck.SLIPPED: "x"}
SHORT = {
    Struck.TOO_FAST: gettext_noop("too fast"),
    Struck.PAST_PAIN: gettext_noop("past pain"),
    Struck.SLIPPED: gettext_noop("slipped"),
}


@dataclass(frozen=True, kw_only=True)
class Squeeze:
    """One trial in newtons; `struck` says why it does not count."""

    force_n: float
    struck: Struck | None = None


REST = {
    30: Figure(
        value=30,
        unit="s",
        source=_HILL,
        status=Status.PUBLISHED,
        limits="between three trials of pain-free grip",
    ),
    60: Figure(
        value=60,
        unit="s",
        source="trial protocol, 2019 BMC Musculoskelet Disord, doi 10.1186/s12891-019-2711-0",
        status=Status.PUBLISHED,
        limits="between three trials of pain-free grip",
    ),
}
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
