"""Positions of cards 9–16: the straight arm, both arms, sport, work and the stretch."""

from collections.abc import Callable

from cases.clinical.body import Trunk, arm_solids, head_and_trunk, reaching_arm, standing, walking
from cases.clinical.drawing import Ball, Items, Role, Solid, View
from cases.clinical.hands import hand_frame
from cases.clinical.posture import RELAXED, STRAIGHT, Angles, Arm, Vector, arm, plus
from cases.clinical.scene import Scene
from cases.clinical.things import (
    GRIP,
    arrow,
    ball,
    band,
    block,
    crate,
    dumbbell,
    push,
    racket,
    rod,
    turn_arrow,
)
from clinic.wording import gettext_noop
from rehab.clinical.positions_light import HOLDING, OTHER_SHOULDER, SIDE

OBLIQUE = View(around=38, above=20)
FRONT = View(around=68, above=30)


def _person(
    angles: Angles, view: View, *, trunk: Trunk | None = None, other: Angles | None = None,
    waist: float | None = 0.06,
) -> tuple[Arm, Arm, Items]:  # fmt: skip
    """Return both arms and the person; without `other` the second arm is not drawn."""
    trunk = trunk or Trunk()
    posed = arm(trunk.shoulder(left=False), angles)
    second = arm(trunk.shoulder(left=True), other or Angles())
    items: Items = [*head_and_trunk(trunk, open_below=waist), *arm_solids(posed, view, Role.LIMB)]
    if other is not None:
        items += arm_solids(second, view, Role.OTHER, layer=0 if view.around < 50 else 2)
    return posed, second, items


def _scene(angles: Angles, view: View, items: Items, action: str) -> Scene:
    return Scene(view=view, angles=angles, items=tuple(items), action=action)


def _straight_lift(wrist: float, action: str, *, moving: bool) -> Scene:
    angles = Angles(shoulder_flexion=74, pronation=90, wrist_flexion=wrist, fingers=HOLDING)
    posed, _, items = _person(angles, OBLIQUE)
    items += dumbbell(posed.hand)
    if moving:
        end = posed.forearm_end
        way = range(34, -40, -6)
        items.append(turn_arrow(end.at, end.along, end.palm, 0.20, way, role=Role.MOTION))
    return _scene(angles, OBLIQUE, items, action)


def _row(angles: Angles, action: str, *, moving: bool) -> Scene:
    posed, second, items = _person(angles, SIDE, other=angles)
    post = (0.88, 0.0, 0.24)
    items += [
        band(posed.hand.point(*GRIP), post),
        band(second.hand.point(*GRIP), post, layer=0),
        rod(plus(post, (0, 0, -0.2)), plus(post, (0, 0, 0.3)), 0.016),
    ]
    if moving:
        elbow = posed.elbow.at
        items.append(
            arrow(plus(elbow, (0.12, -0.1, 0.1)), plus(elbow, (-0.06, -0.1, 0.1)), role=Role.MOTION)
        )
    return _scene(angles, SIDE, items, action)


def _shoulder_turn(rotation: float, action: str, *, moving: bool) -> Scene:
    angles = Angles(
        shoulder_abduction=12, shoulder_rotation=rotation, elbow_flexion=90, fingers=HOLDING
    )
    posed, _, items = _person(angles, FRONT)
    grip = posed.hand.point(*GRIP)
    items += [
        band(grip, (0.26, 0.42, 0.2)),
        rod((0.26, 0.42, 0.06), (0.26, 0.42, 0.36), 0.016),
        _towel(posed),
    ]
    if moving:
        elbow = posed.elbow.at
        forward, out = (1.0, 0.0, 0.0), (0.0, -1.0, 0.0)
        items.append(
            turn_arrow(
                plus(elbow, (0, 0, 0.19)), forward, out, 0.34, range(-34, 40, 5), role=Role.MOTION
            )
        )
    return _scene(angles, FRONT, items, action)


def _towel(posed: Arm) -> Solid:
    elbow = posed.elbow.at
    rolled = (
        Ball(plus(elbow, (0.0, 0.045, 0.10)), 0.026),
        Ball(plus(elbow, (0.0, 0.06, 0.0)), 0.026),
    )
    return Solid(hulls=(rolled,), role=Role.THING, layer=1, depth_of=posed.elbow.at)


def _twist_start() -> Scene:
    angles = Angles(
        shoulder_flexion=30, shoulder_abduction=-6, shoulder_rotation=-28, elbow_flexion=74,
        wrist_flexion=-42, fingers=HOLDING,
    )  # fmt: skip
    posed, _, items = _person(angles, OBLIQUE)
    grip = posed.hand.moved(*GRIP)
    top = grip.point(0, 0.19)
    bar = rod(grip.point(0, -0.07), grip.point(0, 0.25), 0.019, depth_of=grip.at)
    other = hand_frame(top, (0.5, -0.6, 0.1), (0.5, -0.4, 0.0), left=True)
    other = other.moved(along=-0.086, palm=-0.03)
    items += [bar, *reaching_arm(OTHER_SHOULDER, other, (-0.3, 1.0, -0.8), (50, 62, 64, 64, 64))]
    items.append(
        turn_arrow(
            grip.point(0, 0.29), (1, 0, 0), (0, -1, 0), 0.08, range(-70, 80, 10), role=Role.MOTION
        )
    )
    action = gettext_noop(
        "The sore hand holds the bar upright, the other hand takes it at the top."
    )
    return _scene(angles, OBLIQUE, items, action)


def _twist_end() -> Scene:
    angles = Angles(
        shoulder_flexion=74, shoulder_abduction=-4, pronation=90, wrist_flexion=34, fingers=HOLDING
    )
    other = angles.with_(wrist_flexion=-10)
    posed, second, items = _person(angles, OBLIQUE, other=other)
    ends = posed.hand.point(*GRIP), second.hand.point(*GRIP)
    items.append(rod(*ends, 0.019, depth_of=ends[0]))
    end = posed.forearm_end
    items.append(turn_arrow(end.at, end.along, end.palm, 0.19, range(-46, 24, 6), role=Role.MOTION))
    action = gettext_noop("Both arms are stretched forward, the sore wrist gives way slowly.")
    return _scene(angles, OBLIQUE, items, action)


def _ball_pass(angles: Angles, center: Vector, action: str, *, moving: bool) -> Scene:
    _, _, items = _person(angles, SIDE, other=angles)
    items.append(ball(center, 0.105, layer=1))
    if moving:
        items.append(
            arrow(plus(center, (0.13, 0, 0)), plus(center, (0.32, 0, 0)), role=Role.MOTION)
        )
    return _scene(angles, SIDE, items, action)


def _swing(angles: Angles, turn: float, action: str, *, moving: bool) -> Scene:
    posed, _, items = _person(
        angles, OBLIQUE, trunk=Trunk(turn=turn), other=Angles(elbow_flexion=60, shoulder_flexion=25)
    )
    items += racket(posed.hand)
    if moving:
        hand = posed.hand.at
        items.append(
            arrow(
                plus(hand, (-0.2, -0.3, -0.02)), plus(hand, (-0.02, -0.24, 0.0)),
                plus(hand, (0.1, -0.1, 0.06)), role=Role.MOTION,
            )
        )  # fmt: skip
    return _scene(angles, OBLIQUE, items, action)


def _carry(angles: Angles, items_around: Items, trunk: Trunk, action: str) -> Scene:
    _, _, items = _person(angles, SIDE, trunk=trunk, other=angles, waist=None)
    return _scene(angles, SIDE, items + items_around, action)


def _stretch(wrist: float, action: str, *, pressed: bool) -> Scene:
    angles = Angles(
        shoulder_flexion=72, shoulder_abduction=-34, pronation=90, wrist_flexion=wrist,
        fingers=RELAXED if pressed else STRAIGHT,
    )  # fmt: skip
    posed, _, items = _person(angles, SIDE)
    if pressed:
        contact = posed.hand.point(0.06, 0, -0.03)
        other = hand_frame(contact, (-0.1, -0.9, 0.45), posed.hand.palm, left=True)
        items += reaching_arm(
            OTHER_SHOULDER,
            other.moved(along=-0.085),
            (0.0, 1.0, -0.6),
            (60, 20, 22, 24, 28),
            layer=3,
        )
        items.append(push(posed.hand.point(0.09, 0, -0.05), posed.hand.palm))
    return _scene(angles, SIDE, items, action)


HEAVY: dict[str, Callable[[], tuple[Scene, Scene]]] = {
    "straight-arm-lift": lambda: (
        _straight_lift(46, gettext_noop("The hand with the weight hangs down."), moving=False),
        _straight_lift(-42, gettext_noop("The hand lifts the weight."), moving=True),
    ),
    "row": lambda: (
        _row(
            Angles(shoulder_flexion=50, elbow_flexion=20, fingers=HOLDING),
            gettext_noop("Both hands hold a band that is fixed in front at waist height."),
            moving=False,
        ),
        _row(
            Angles(shoulder_flexion=-36, elbow_flexion=112, fingers=HOLDING),
            gettext_noop("Both elbows are pulled back against the band."),
            moving=True,
        ),
    ),
    "shoulder-turn": lambda: (
        _shoulder_turn(-42, gettext_noop("The hand holds a band across the body."), moving=False),
        _shoulder_turn(38, gettext_noop("The forearm turns outward against the band."), moving=True),
    ),
    "twist-bar": lambda: (_twist_start(), _twist_end()),
    "ball-pass": lambda: (
        _ball_pass(
            Angles(shoulder_flexion=16, shoulder_abduction=14, shoulder_rotation=-30,
                   elbow_flexion=118, pronation=20, wrist_flexion=-20, fingers=(10,) * 5),
            (0.235, 0.0, 0.34),
            gettext_noop("Both hands hold the ball at the chest."),
            moving=False,
        ),
        _ball_pass(
            Angles(shoulder_flexion=78, shoulder_abduction=-10, elbow_flexion=14, pronation=60,
                   wrist_flexion=-20, fingers=(10,) * 5),
            (0.76, 0.0, 0.44),
            gettext_noop("Both arms push the ball away."),
            moving=True,
        ),
    ),
    "shadow-swing": lambda: (
        _swing(
            Angles(shoulder_flexion=-14, shoulder_abduction=62, shoulder_rotation=48, elbow_flexion=70,
                   wrist_flexion=-24, fingers=HOLDING),
            -35, gettext_noop("The racket is taken back."), moving=False,
        ),
        _swing(
            Angles(shoulder_flexion=75, shoulder_abduction=-25, elbow_flexion=50, pronation=30,
                   fingers=HOLDING),
            25, gettext_noop("The racket swings forward, slowly and smoothly."), moving=True,
        ),
    ),
    "lift-and-carry": lambda: (
        _carry(
            Angles(shoulder_flexion=45, elbow_flexion=55, pronation=-80, fingers=(20,) * 5),
            [*standing(), *crate((0.42, -0.17, 0.1), (0.72, 0.17, 0.32)),
             block((0.40, -0.3, 0.06), (0.9, 0.3, 0.1))],
            Trunk(lean=14), gettext_noop("Both hands lie under a box on a table, palms up."),
        ),
        _carry(
            Angles(shoulder_flexion=8, elbow_flexion=88, pronation=-80, fingers=(20,) * 5),
            [*walking(), *crate((0.14, -0.17, 0.24), (0.44, 0.17, 0.46))],
            Trunk(), gettext_noop("The box is carried close to the body."),
        ),
    ),
    "extensor-stretch": lambda: (
        _stretch(0, gettext_noop("The arm is held forward."), pressed=False),
        _stretch(68, gettext_noop("The other hand bends the wrist down."), pressed=True),
    ),
}  # fmt: skip
