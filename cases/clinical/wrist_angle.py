"""Wrist angle at contact, from three points on a still picture of a backhand.

A coaching observation, never a score of risk: the group means come from eight and eight players, and three
players of a later study contradict them in part.

Sources
-------
Blackwell & Cole (1994) J Biomech 27:509–16: 8 experts, 8 novices.
Knudson & Blackwell (1997) Int J Sports Med 18:79–82: after the impact.
Glynn (2007), n = 3, read second-hand: novices extended too, experts moving toward flexion.
"""

import math
from dataclasses import dataclass

from cases.clinical.labels import Labelled
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say


class View(Labelled):
    """The side of the hand that the camera looked at."""

    THUMB = "thumb", gettext_noop("the thumb side")
    LITTLE_FINGER = "little-finger", gettext_noop("the little-finger side")


@dataclass(frozen=True, kw_only=True)
class Point:
    """A place in the picture in pixels: x to the right, y downward."""

    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class ArmPoints:
    """Middle of the forearm, middle of the wrist, knuckle of the middle finger."""

    forearm: Point
    wrist: Point
    knuckle: Point


@dataclass(frozen=True, kw_only=True)
class Picture:
    """How the arm stands in the picture; `mirrored` when left and right were swapped."""

    arm: Side
    seen_from: View = View.THUMB
    mirrored: bool = False

    @property
    def extension_sign(self) -> int:
        """1 where a hand bent back turns clockwise in the picture, −1 where it turns the other way.

        A right hand seen from the thumb side has its back to the right of a forearm that points up. The other
        arm, the other side and a mirrored picture each turn that round.
        """
        turned = (self.arm is Side.LEFT, self.seen_from is View.LITTLE_FINGER, self.mirrored)
        return -1 if sum(turned) % 2 else 1


def wrist_angle(points: ArmPoints, picture: Picture) -> float:
    """Return the angle between forearm and hand in degrees: above 0 extended, below 0 flexed.

    In the plane of the picture: true only when the camera looked along the axis that the wrist bends about.
    Above −180, up to 180. Raises ValueError when the wrist lies on the forearm point or the knuckle.
    """
    if points.forearm == points.wrist or points.wrist == points.knuckle:
        raise ValueError("forearm, wrist and knuckle are three different places")
    forearm = (points.wrist.x - points.forearm.x, points.wrist.y - points.forearm.y)
    hand = (points.knuckle.x - points.wrist.x, points.knuckle.y - points.wrist.y)
    # y grows downward, so a positive turn is clockwise to the eye.
    turn = math.atan2(
        forearm[0] * hand[1] - forearm[1] * hand[0], forearm[0] * hand[0] + forearm[1] * hand[1]
    )
    angle = math.degrees(turn) * picture.extension_sign
    return 180.0 if angle == -180 else angle


class Motion(Labelled):
    """Where the wrist goes after contact, in whole degrees."""

    INTO_EXTENSION = "into-extension", gettext_noop("moving into extension")
    INTO_FLEXION = "into-flexion", gettext_noop("moving into flexion")
    STILL = "still", gettext_noop("not moving")


def motion(contact_deg: float, after_deg: float) -> Motion:
    """Return where the wrist moves from contact to shortly after; less than half a degree is still.

    The half degree is only rounding, not a measurement error: none is published for clicked points. Raises
    ValueError for an angle beyond 180 degrees.
    """
    for angle in (contact_deg, after_deg):
        if not -180 <= angle <= 180:
            raise ValueError(f"an angle of {angle} degrees is beyond 180")
    change = after_deg - contact_deg
    if abs(change) < 0.5:
        return Motion.STILL
    return Motion.INTO_EXTENSION if change > 0 else Motion.INTO_FLEXION


_SHARE = {1: gettext_noop("%(degrees).0f° extended"), -1: gettext_noop("%(degrees).0f° flexed")}
_STRAIGHT = gettext_noop("straight")


def in_words(angle_deg: float) -> Sentence:
    """Return an angle in whole degrees and words: "23° extended", "13° flexed", "straight"."""
    if abs(angle_deg) < 0.5:
        return say(_STRAIGHT)
    return say(_SHARE[1 if angle_deg > 0 else -1], degrees=abs(angle_deg))


@dataclass(frozen=True, kw_only=True)
class GroupMean:
    """The mean wrist of one group of players at impact, and where it went; degrees as in `wrist_angle`."""

    group: str
    players: int
    angle_deg: float
    motion: Motion
    known: Figure

    @property
    def contact(self) -> Sentence:
        """The mean at impact in words."""
        return in_words(self.angle_deg)


def _printed(radians: float, limits: str) -> Figure:
    source = "Blackwell & Cole 1994 J Biomech 27:509–16"
    return Figure(value=radians, unit="rad", source=source, status=Status.PUBLISHED, limits=limits)


def _glynn(degrees: float, limits: str) -> Figure:
    return Figure(
        value=degrees,
        unit=gettext_noop("degrees"),
        source="Glynn 2007, n = 3",
        status=Status.SECOND_HAND,
        limits=limits,
    )


EXPERTS = GroupMean(
    group=gettext_noop("experts"),
    players=8,
    angle_deg=math.degrees(0.41),
    motion=Motion.INTO_EXTENSION,
    known=_printed(0.41, gettext_noop("extended at impact, going further into extension")),
)
NOVICES = GroupMean(
    group=gettext_noop("novices"),
    players=8,
    angle_deg=-math.degrees(0.22),
    motion=Motion.INTO_FLEXION,
    known=_printed(0.22, gettext_noop("flexed at impact, going further into flexion")),
)
GROUP_MEANS = (EXPERTS, NOVICES)
CONTRADICTED_BY = (
    _glynn(
        10, gettext_noop("extended at impact, moving toward flexion: one elite, one intermediate")
    ),
    _glynn(
        30, gettext_noop("extended at impact: one novice, who kept the wrist extended throughout")
    ),
)
AFTER_IMPACT = (
    Figure(
        value=4.04,
        unit="rad/s",
        source="Knudson & Blackwell 1997 Int J Sports Med 18:79–82",
        status=Status.PUBLISHED,
        limits=gettext_noop("into extension after impact: professionals"),
    ),
    Figure(
        value=0.42,
        unit="rad/s",
        source="Knudson & Blackwell 1997 Int J Sports Med 18:79–82",
        status=Status.PUBLISHED,
        limits=gettext_noop("into flexion after impact: players who had had tennis elbow"),
    ),
)
