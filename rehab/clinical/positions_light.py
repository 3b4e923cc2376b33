"""Positions of cards 1–8: the forearm on a table or at the side, the hand shown larger."""

from collections.abc import Callable

from cases.clinical.body import Trunk, arm_solids, forearm_piece, head_and_trunk, reaching_arm
from cases.clinical.drawing import Items, Role, Stroke, View
from cases.clinical.hand import fingers
from cases.clinical.hands import hand_frame
from cases.clinical.posture import RELAXED, Angles, Arm, arm, plus, times
from cases.clinical.scene import Scene
from cases.clinical.things import GRIP, ball, band, dumbbell, hammer, push, table, turn_arrow
from clinic.wording import gettext_noop

SIDE = View(around=14, above=14)
OBLIQUE = View(around=34, above=22)
FRONT = View(around=66, above=18)
HOLDING = (52.0, 66.0, 68.0, 68.0, 68.0)

ON_TABLE = Angles(
    shoulder_flexion=26, shoulder_rotation=-14, elbow_flexion=64, pronation=90, fingers=RELAXED
)
# The other shoulder comes forward when its hand reaches across.
OTHER_SHOULDER = Trunk().point(0.06, 0.14, 0.455)
AT_SIDE = Angles(shoulder_flexion=6, elbow_flexion=86, fingers=RELAXED)


def _person(angles: Angles, view: View, *, trunk: Trunk | None = None) -> tuple[Arm, Items]:
    trunk = trunk or Trunk()
    posed = arm(trunk.shoulder(left=False), angles)
    return posed, [*head_and_trunk(trunk, open_below=0.06), *arm_solids(posed, view, Role.LIMB)]


def _at_table(angles: Angles, view: View = SIDE) -> tuple[Arm, Items]:
    posed, items = _person(angles, view)
    top = posed.elbow.at[2] - 0.044
    return posed, items + table(posed.forearm_end.at[0] - 0.02, 0.02, top, near=-0.42, far=0.16)


def _path(posed: Arm, degrees: range, *, radius: float = 0.2) -> Stroke:
    """The way of the hand through wrist flexion, in degrees."""
    end = posed.forearm_end
    return turn_arrow(end.at, end.along, end.palm, radius, degrees, role=Role.MOTION)


def _wrist_hold(*, pressed: bool) -> Scene:
    angles = ON_TABLE.with_(wrist_flexion=0 if pressed else 38)
    posed, items = _at_table(angles)
    if not pressed:
        action = gettext_noop("The forearm lies on a table, the hand hangs over the edge.")
        return Scene(view=SIDE, angles=angles, items=tuple(items), action=action)
    contact = posed.hand.point(0.06, 0, -0.034)
    other = hand_frame(contact, (0.55, -0.8, 0.0), posed.hand.palm, left=True).moved(along=-0.075)
    flat = (60, 14, 18, 20, 24)
    items += reaching_arm(OTHER_SHOULDER, other, (0.0, 1.0, -0.4), flat, layer=3)
    pressed_down = push(posed.hand.point(0.085, 0, -0.065), posed.hand.palm, 0.1)
    action = gettext_noop("The back of the hand presses up into the other hand and stays level.")
    return Scene(
        view=SIDE, angles=angles, items=(*items, pressed_down), action=action,
    )  # fmt: skip


# From above, where a ball is seen between thumb and fingers.
INTO_HAND = View(around=58, above=50)


def _squeeze(radius: float, flexion: float, action: str) -> Scene:
    angles = AT_SIDE.with_(fingers=(flexion * 0.5, flexion, flexion, flexion, flexion))
    posed, items = _person(angles, SIDE)
    held = ball(posed.hand.point(0.092, 0.016, 0.012 + radius), radius)
    lens = [*forearm_piece(posed, INTO_HAND, share=0.4), held]
    return Scene(
        view=SIDE,
        angles=angles,
        items=(*items, held),
        action=action,
        lens=tuple(lens),
        lens_view=INTO_HAND,
    )


def _weight(wrist: float, action: str, *, way: range | None = None, helped: bool = False) -> Scene:
    angles = ON_TABLE.with_(wrist_flexion=wrist, fingers=HOLDING)
    posed, items = _at_table(angles, OBLIQUE)
    items += dumbbell(posed.hand)
    if helped:
        below = posed.hand.point(0.05, 0.0, 0.07)
        other = hand_frame(below, (0.1, -1.0, 0.1), times(-1, posed.hand.palm), left=True)
        items += reaching_arm(
            OTHER_SHOULDER, other.moved(along=-0.085), (0.2, 1.0, -0.6), (30, 40, 42, 44, 46)
        )
    if way is not None:
        items.append(_path(posed, way))
    return Scene(view=OBLIQUE, angles=angles, items=tuple(items), action=action)


def _thumb_up(deviation: float, action: str, *, moving: bool) -> Scene:
    angles = ON_TABLE.with_(pronation=0, radial_deviation=deviation, fingers=HOLDING)
    posed, items = _at_table(angles)
    items += hammer(posed.hand)
    if moving:
        end = posed.forearm_end
        items.append(
            turn_arrow(end.at, end.along, end.thumb, 0.335, range(30, 74, 4), role=Role.MOTION)
        )
    return Scene(view=SIDE, angles=angles, items=tuple(items), action=action)


def _turn(pronation: float, action: str, *, moving: bool) -> Scene:
    angles = AT_SIDE.with_(pronation=pronation, fingers=HOLDING)
    posed, items = _person(angles, FRONT)
    items += hammer(posed.hand)
    if moving:
        up, out = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)
        center = posed.hand.point(*GRIP)
        items.append(turn_arrow(center, up, out, 0.25, range(5, 70, 5), role=Role.MOTION))
    return Scene(view=FRONT, angles=angles, items=tuple(items), action=action)


FROM_FRONT = View(around=50, above=38)


def _open_hand(flexion: float, spread: float, action: str) -> Scene:
    angles = AT_SIDE.with_(
        pronation=90, fingers=(flexion * 0.8, flexion, flexion, flexion, flexion)
    )
    posed, items = _person(angles, SIDE)
    tips = [
        plus(times(0.6, digit.joints[-1]), times(0.4, digit.joints[-2]), times(0.010, digit.nail))
        for digit in fingers(posed.hand, angles.fingers, spread)
    ]
    loop = [band(*tips, layer=3), band(tips[0], tips[-1], layer=1)]
    lens = [*forearm_piece(posed, FROM_FRONT, share=0.16, spread=spread), *loop]
    return Scene(
        view=SIDE,
        angles=angles,
        items=(*items, *loop),
        action=action,
        lens=tuple(lens),
        lens_view=FROM_FRONT,
    )


LIGHT: dict[str, Callable[[], tuple[Scene, Scene]]] = {
    "wrist-hold": lambda: (_wrist_hold(pressed=False), _wrist_hold(pressed=True)),
    "fist-hold": lambda: (
        _squeeze(0.046, 34, gettext_noop("The hand lies around a soft ball.")),
        _squeeze(0.040, 46, gettext_noop("The hand squeezes the ball, the wrist stays straight.")),
    ),
    "lower-slowly": lambda: (
        _weight(-48, gettext_noop("The other hand has lifted the weight to the top."), helped=True),
        _weight(50, gettext_noop("The hand lets the weight down slowly."), way=range(-40, 34, 6)),
    ),
    "lift-and-lower": lambda: (
        _weight(50, gettext_noop("The hand with the weight hangs over the edge of the table.")),
        _weight(-48, gettext_noop("The hand lifts the weight."), way=range(38, -36, -6)),
    ),
    "thumb-up-lift": lambda: (
        _thumb_up(-24, gettext_noop("The hand holds a hammer."), moving=False),
        _thumb_up(22, gettext_noop("The hand tips the hammer up and back."), moving=True),
    ),
    "turn-palm": lambda: (
        _turn(0, gettext_noop("The hand holds a hammer upright."), moving=False),
        _turn(
            -86,
            gettext_noop("The forearm turns the hammer outward until it is level."),
            moving=True,
        ),
    ),
    "open-hand": lambda: (
        _open_hand(30, 0, gettext_noop("A rubber band lies around the five fingertips.")),
        _open_hand(6, 11, gettext_noop("The fingers open wide against the band.")),
    ),
    "ball-squeeze": lambda: (
        _squeeze(0.052, 28, gettext_noop("The hand lies around a ball.")),
        _squeeze(0.044, 42, gettext_noop("The hand squeezes the ball and holds.")),
    ),
}
