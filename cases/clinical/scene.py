"""A scene: a posed person with what is around, seen from one place, and the same in words."""

from dataclasses import dataclass, field, replace

from cases.clinical.drawing import (
    WIDTH,
    Area,
    Circle,
    Figure,
    Item,
    Line,
    Outline,
    Point,
    Primitive,
    Role,
    View,
    drawn,
    fitted,
)
from cases.clinical.posture import Angles
from cases.clinical.sides import Side
from clinic.wording import Sentence, gettext_noop, say

PHASES = START, END = ("start", "end")

# Whole phrases: a language may order their words differently.
ARMS = {Side.RIGHT: gettext_noop("Right arm"), Side.LEFT: gettext_noop("Left arm")}


LENS = Circle(role=Role.LENS, center=(WIDTH - 98, 98), radius=92)
IN_LENS = Area(left=WIDTH - 172, top=36, right=WIDTH - 24, low=160)
BESIDE_LENS = Area(right=WIDTH - 118)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What is drawn of one phase. `action` says what is done in it.

    `lens` is a part shown once more, larger, in the upper right corner and seen from `lens_view`.
    """

    view: View
    angles: Angles
    items: tuple[Item, ...]
    action: str
    lens: tuple[Item, ...] = ()
    lens_view: View = field(default_factory=View)


def figure_of(scenes: tuple[Scene, Scene], phase: str, side: Side) -> Figure:
    """Return one phase of two, both at the same scale, for the right or the left arm.

    Raises ValueError for a phase that is neither start nor end.
    """
    if phase not in PHASES:
        raise ValueError(f"phase {phase!r} is neither start nor end")
    scene = scenes[PHASES.index(phase)]
    main = [item for each in scenes for item in each.items]
    primitives = drawn(scene.items, fitted(main, scene.view, BESIDE_LENS if scene.lens else Area()))
    if scene.lens:
        larger = [item for each in scenes for item in each.lens]
        primitives += (LENS, *drawn(scene.lens, fitted(larger, scene.lens_view, IN_LENS)))
    if side is Side.LEFT:
        primitives = tuple(mirrored(primitive) for primitive in primitives)
    return Figure(primitives=primitives, alt=described(scene, side))


def mirrored(primitive: Primitive) -> Primitive:
    """Return the primitive as in a mirror: the left arm is the right one seen from its own side."""
    match primitive:
        case Outline(parts=parts):
            return replace(primitive, parts=tuple(map(_flipped, parts)))
        case Line(points=points):
            return replace(primitive, points=_flipped(points))
        case Circle(center=(x, y)):
            return replace(primitive, center=(WIDTH - x, y))


def _flipped(points: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple((WIDTH - x, y) for x, y in points)


def described(scene: Scene, side: Side) -> Sentence:
    """Return the scene in words, from its angles and what is done."""
    return say(
        gettext_noop("%(arm)s: %(elbow)s, %(forearm)s, %(wrist)s, %(hand)s. %(action)s"),
        arm=ARMS[side],
        elbow=elbow_words(scene.angles),
        forearm=forearm_words(scene.angles),
        wrist=wrist_words(scene.angles),
        hand=hand_words(scene.angles),
        action=scene.action,
    )


def elbow_words(angles: Angles) -> str:
    """Return how far the elbow is bent."""
    if angles.elbow_flexion <= 10:
        return gettext_noop("elbow straight")
    if 80 <= angles.elbow_flexion <= 100:
        return gettext_noop("elbow at a right angle")
    return gettext_noop("elbow bent")


def forearm_words(angles: Angles) -> str:
    """Return how the forearm is turned."""
    if angles.pronation >= 60:
        return gettext_noop("palm down")
    if angles.pronation <= -60:
        return gettext_noop("palm up")
    return gettext_noop("thumb up")


def wrist_words(angles: Angles) -> str:
    """Return how the wrist is bent or tipped."""
    if angles.wrist_flexion > 12:
        return gettext_noop("wrist bent toward the palm")
    if angles.wrist_flexion < -12:
        return gettext_noop("wrist bent back")
    if angles.radial_deviation > 8:
        return gettext_noop("hand tipped toward the thumb")
    if angles.radial_deviation < -8:
        return gettext_noop("hand tipped toward the little finger")
    return gettext_noop("wrist straight")


def hand_words(angles: Angles) -> str:
    """Return how the fingers are held."""
    fingers = angles.fingers[1:]
    if min(fingers) > 45:
        return gettext_noop("hand closed")
    if max(fingers) < 10:
        return gettext_noop("fingers straight")
    return gettext_noop("hand relaxed")
