"""Signs that are examined and recorded beside the screening questions, by the question they bear on.

Sources
-------
Appelboam et al. (2008) BMJ 337:a2428: elbow extension test after an injury.
Wainner et al. (2003) Spine 28:52–62, n = 82, read second-hand: four tests of the neck counted together. One
page prints ".88" as the likelihood ratio of three of four; that is a misprint and is not used.
Regan & Lapner (2006) J Shoulder Elbow Surg 15:344–6, n = 8: signs of an unstable elbow.
"""

from dataclasses import dataclass

from cases.clinical.in_study import ELBOW_EXTENSION_IN_STUDY, NECK_IN_STUDY, InStudy
from cases.clinical.labels import Labelled
from cases.clinical.screening_questions import (
    ELBOW_EXTENSION_COUNTS,
    ELBOW_EXTENSION_SENSITIVITY,
    ELBOW_EXTENSION_SPECIFICITY,
    RADICULOPATHY_FOUR_OF_FOUR,
)
from clinic.evidence import Figure, Status
from clinic.wording import gettext_noop


class Outcome(Labelled):
    """Whether a sign was there when it was looked for. Not looked for is no row at all."""

    FOUND = "found", gettext_noop("yes")
    ABSENT = "absent", gettext_noop("no")


@dataclass(frozen=True, kw_only=True)
class Sign:
    """One thing to look for; `both_sides` when each arm has its own answer."""

    code: str
    label: str
    both_sides: bool = False


@dataclass(frozen=True, kw_only=True)
class SignGroup:
    """Signs that bear on one screening question; `enough` of them found speak for a yes there."""

    code: str
    title: str
    question: str
    signs: tuple[Sign, ...]
    enough: int = 1
    note: str = ""
    source: str = "usual practice"
    status: Status = Status.FROM_MEMORY
    figures: tuple[Figure, ...] = ()
    in_study: InStudy | None = None


def _specificity_from_counts() -> float:
    counts = ELBOW_EXTENSION_COUNTS
    straight, bent = counts["can straighten, no fracture"], counts["can't straighten, no fracture"]
    return round(100 * straight / (straight + bent), 1)


ELBOW_EXTENSION_SPECIFICITY_COUNTED = Figure(
    value=_specificity_from_counts(),
    unit="%",
    source="Appelboam et al. 2008 BMJ 337:a2428",
    status=Status.COMPUTED,
    limits=gettext_noop(
        "the same from the printed counts, 585 of 1202: 0.2 points above the printed"
    ),
)
_WAINNER = "Wainner et al. 2003 Spine 28:52–62, n = 82"
NECK_THREE_OF_FOUR = Figure(
    value=6.1,
    unit=gettext_noop("likelihood ratio"),
    source=_WAINNER,
    status=Status.FROM_MEMORY,
    limits=gettext_noop(
        "three of four found; interval 2.0–18.6; sensitivity 0.39, specificity 0.94"
    ),
)
NECK_FOUR_OF_FOUR = Figure(
    value=RADICULOPATHY_FOUR_OF_FOUR.value,
    unit=RADICULOPATHY_FOUR_OF_FOUR.unit,
    source=_WAINNER,
    status=Status.SECOND_HAND,
    limits=gettext_noop(
        "four of four found; interval printed 1.7–38.2; sensitivity 0.24, specificity 0.99"
    ),
)

ELBOW_EXTENSION = SignGroup(
    code="elbow-extension",
    title=gettext_noop("Elbow extension test, after an injury"),
    question="fracture",
    signs=(
        Sign(
            code="not-straight",
            label=gettext_noop("Can't straighten fully"),
            both_sides=True,
        ),
    ),
    note=gettext_noop(
        "Seated, both arms forward to 90 degrees, straighten and lock both elbows, compare. Two "
        "fractures of the point of the elbow were missed in those who could: look again when it is "
        "not settling in 7–10 days."
    ),
    source="Appelboam et al. 2008 BMJ 337:a2428, n = 1740",
    status=Status.PUBLISHED,
    figures=(
        ELBOW_EXTENSION_SENSITIVITY,
        ELBOW_EXTENSION_SPECIFICITY,
        ELBOW_EXTENSION_SPECIFICITY_COUNTED,
    ),
    in_study=ELBOW_EXTENSION_IN_STUDY,
)
NECK = SignGroup(
    code="neck",
    title=gettext_noop("Neck, four tests counted together"),
    question="neck-nerve-root",
    signs=(
        Sign(
            code="tension-test",
            label=gettext_noop("Upper limb tension test A brings on the arm pain"),
        ),
        Sign(code="spurling", label=gettext_noop("Spurling test A brings it on")),
        Sign(code="distraction", label=gettext_noop("Distraction of the neck eases it")),
        Sign(
            code="rotation-under-60",
            label=gettext_noop("Turns to the same side by less than 60 degrees"),
        ),
    ),
    enough=3,
    note=gettext_noop(
        "Three or four found: treat or refer as a neck. Growing weakness: refer urgently."
    ),
    source=_WAINNER,
    status=Status.SECOND_HAND,
    figures=(NECK_THREE_OF_FOUR, NECK_FOUR_OF_FOUR),
    in_study=NECK_IN_STUDY,
)
FINGER_DROP = SignGroup(
    code="finger-drop",
    title=gettext_noop("Fingers that will not lift"),
    question="finger-drop",
    signs=(
        Sign(code="fingers-drop", label=gettext_noop("Fingers lift weakly or not at the knuckles")),
        Sign(code="thumb-drops", label=gettext_noop("Thumb lifts weakly or not")),
        Sign(code="wrist-veers", label=gettext_noop("The wrist lifts toward the thumb side")),
    ),
    note=gettext_noop(
        "With feeling intact it points to the deep branch alone. Strength, not pain, is tested."
    ),
)
INSTABILITY = SignGroup(
    code="instability",
    title=gettext_noop("Unstable elbow"),
    question="instability",
    signs=(
        Sign(
            code="chair-sign",
            label=gettext_noop("Chair sign: gives way or is held back when pushing up"),
        ),
        Sign(code="push-up-sign", label=gettext_noop("Push-up sign, lying face down")),
        Sign(
            code="tabletop",
            label=gettext_noop("Tabletop test, eased by a thumb on the radial head"),
        ),
        Sign(code="pivot-shift", label=gettext_noop("Lateral pivot shift")),
        Sign(code="drawer", label=gettext_noop("Posterolateral drawer")),
    ),
    note=gettext_noop(
        "The chair sign is pushing oneself up out of a chair. It is not the chair pick-up test of the "
        "battery, which lifts a chair and loads the wrist extensors: the two are never counted together."
    ),
    source="Regan & Lapner 2006 J Shoulder Elbow Surg 15:344–6",
    status=Status.PUBLISHED,
    figures=(
        Figure(
            value=7,
            unit=gettext_noop("of 8"),
            source="Regan & Lapner 2006, n = 8",
            status=Status.PUBLISHED,
            limits=gettext_noop(
                "operated cases with the chair sign, as many with the push-up sign"
            ),
        ),
        Figure(
            value=3,
            unit=gettext_noop("of 8"),
            source="Regan & Lapner 2006, n = 8",
            status=Status.PUBLISHED,
            limits=gettext_noop("with the pivot shift awake; specificity of all of them unknown"),
        ),
    ),
)
HOT_JOINT = SignGroup(
    code="hot-joint",
    title=gettext_noop("Hot joint"),
    question="hot-joint",
    signs=(
        Sign(code="warm", label=gettext_noop("Hotter than the other side")),
        Sign(code="red", label=gettext_noop("Red")),
        Sign(code="swollen", label=gettext_noop("Swollen")),
        Sign(code="feverish", label=gettext_noop("Raised temperature")),
        Sign(code="cold-hand", label=gettext_noop("Hand cold or pale, pulse weak")),
    ),
    source="NHS Gloucestershire elbow pathway, g-care.glos.nhs.uk",
    status=Status.PUBLISHED,
)
INFLAMMATORY = SignGroup(
    code="inflammatory",
    title=gettext_noop("Inflammatory pattern"),
    question="inflammatory",
    signs=(
        Sign(code="skin", label=gettext_noop("Psoriasis of the skin")),
        Sign(code="bowel", label=gettext_noop("Inflamed bowel")),
        Sign(code="relatives", label=gettext_noop("Any of these in relatives")),
        Sign(code="eyes", label=gettext_noop("Inflamed eyes")),
        Sign(code="morning", label=gettext_noop("Early-morning stiffness")),
        Sign(code="nails", label=gettext_noop("Pitted or lifted nails")),
        Sign(code="dactylitis", label=gettext_noop("A whole finger or toe swollen")),
        Sign(code="entheses", label=gettext_noop("Other tendon insertions painful")),
        Sign(
            code="eased-by-moving",
            label=gettext_noop("Eased by moving or by anti-inflammatory tablets"),
        ),
    ),
    note=gettext_noop(
        "How many are enough is not known: each is a reason to ask, and none decides."
    ),
)
HEART = SignGroup(
    code="heart",
    title=gettext_noop("Heart and chest"),
    question="heart-or-chest",
    signs=(
        Sign(
            code="effort", label=gettext_noop("Comes with effort of the whole body, goes with rest")
        ),
        Sign(code="sweating", label=gettext_noop("Sweating or breathless with it")),
        Sign(
            code="not-from-elbow",
            label=gettext_noop("Moving and pressing the elbow do not change it"),
        ),
    ),
)

GROUPS = (ELBOW_EXTENSION, NECK, FINGER_DROP, INSTABILITY, HOT_JOINT, INFLAMMATORY, HEART)
SIGNS = {sign.code: sign for group in GROUPS for sign in group.signs}
