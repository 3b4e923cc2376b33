"""The positions of the provocation tests and of the grip tests, start and end."""

from collections.abc import Callable
from functools import cache, partial

from cases.clinical.body import (
    FLOOR,
    Trunk,
    arm_solids,
    epicondyle,
    forearm_piece,
    head_and_trunk,
    standing,
)
from cases.clinical.drawing import Figure, Items, Role, Stroke, View
from cases.clinical.hand import fingers
from cases.clinical.hands import POINTING, hand_frame, helping_hand, mitten, touching
from cases.clinical.posture import FIST, RELAXED, Angles, Arm, Vector, arm, plus, times
from cases.clinical.scene import Scene, figure_of
from cases.clinical.sides import Side
from cases.clinical.things import (
    GRIP,
    arrow,
    chair,
    cup,
    dynamometer,
    push,
    spot,
    table,
    turn_arrow,
)
from clinic.wording import gettext_noop

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
OVER = (62.0, 12.0, 14.0, 16.0, 20.0)  # a flat hand laid on something

SIDE = View(around=14, above=12)
OBLIQUE = View(around=32, above=22)

FORWARD_STRAIGHT = Angles(shoulder_flexion=84, pronation=90, fingers=RELAXED)
BENT_PALM_DOWN = Angles(shoulder_flexion=8, elbow_flexion=86, pronation=90, fingers=RELAXED)


def seated(angles: Angles, view: View) -> tuple[Arm, Items]:
    """Return the arm in question and the items of a person seen to the waist."""
    trunk = Trunk()
    posed = arm(trunk.shoulder(left=False), angles)
    return posed, [*head_and_trunk(trunk, open_below=0.08), *arm_solids(posed, view, Role.LIMB)]


def _scene(
    angles: Angles,
    view: View,
    items: Items,
    action: str,
    *,
    lens: Items | None = None,
    lens_view: View = SIDE,
) -> Scene:
    return Scene(
        view=view,
        angles=angles,
        items=tuple(items),
        action=action,
        lens=tuple(lens or ()),
        lens_view=lens_view,
    )


def _laid_on_back(posed: Arm, *, along: Vector, forearm: Vector) -> Items:
    """A hand whose palm lies on the back of the patient's hand."""
    contact = posed.hand.point(0.075, 0, -0.034)
    frame = hand_frame(contact, along, posed.hand.palm, left=True)
    return helping_hand(frame.moved(along=-0.085), OVER, forearm=forearm, length=0.11)


def _held_from_below(point: Vector, *, left: bool = True) -> Items:
    """A hand that holds the arm from below at `point`."""
    frame = hand_frame(plus(point, (0, 0, -0.055)), (-0.35, 1.0, 0.25), UP, left=left)
    return helping_hand(
        frame.moved(along=-0.06), (20, 40, 42, 44, 46), forearm=(0.35, -0.5, -0.8), layer=3
    )


def _passive_stretch(wrist: float, *, pressed: bool) -> Scene:
    angles = FORWARD_STRAIGHT.with_(wrist_flexion=wrist)
    posed, items = seated(angles, SIDE)
    items += _held_from_below(posed.shoulder.point(0.235))
    moving = _laid_on_back(
        posed, along=times(-1, posed.hand.along), forearm=plus(posed.hand.along, (0.6, 0, 0))
    )
    if not pressed:
        action = gettext_noop("The examiner holds the upper arm above the elbow and the hand.")
        return _scene(angles, SIDE, items + moving, action)
    moving.append(push(posed.hand.point(0.07, 0, -0.075), posed.hand.palm))
    action = gettext_noop("The examiner bends the hand down, the patient stays relaxed.")
    return _scene(angles, SIDE, items + moving, action)


def _wrist_extension(wrist: float, *, pressed: bool) -> Scene:
    angles = BENT_PALM_DOWN.with_(wrist_flexion=wrist, fingers=FIST)
    posed, items = seated(angles, SIDE)
    lens = forearm_piece(posed, SIDE, share=0.4)
    items += _held_from_below(posed.elbow.point(0.19))
    if not pressed:
        action = gettext_noop("The examiner holds the forearm above the wrist.")
        return _scene(angles, SIDE, items, action, lens=lens)
    back = posed.hand.point(0.07, 0, -0.05)
    resisted = _laid_on_back(posed, along=times(-1, posed.hand.along), forearm=(1.0, 0, 0.1))[:2]
    action = gettext_noop(
        "The examiner presses the back of the hand down, the patient holds it up."
    )
    return _scene(
        angles,
        SIDE,
        [*items, push(back, posed.hand.palm)],
        action,
        lens=[*lens, *resisted, push(plus(back, (0, 0, 0.03)), posed.hand.palm, 0.09)],
    )


PALM_SIDE = View(around=48, above=46)


def _supination(*, pressed: bool) -> Scene:
    angles = BENT_PALM_DOWN.with_(pronation=-88)
    posed, items = seated(angles, OBLIQUE)
    lens = forearm_piece(posed, PALM_SIDE, share=0.8)
    items += _held_from_below(posed.elbow.point(0.20))
    if not pressed:
        action = gettext_noop("The examiner holds the forearm.")
        return _scene(angles, OBLIQUE, items, action, lens=lens, lens_view=PALM_SIDE)
    turned = turn_arrow(
        posed.elbow.point(0.16), posed.forearm_end.palm, posed.forearm_end.thumb, 0.075,
        range(-60, 130, 10),
    )  # fmt: skip
    action = gettext_noop(
        "The examiner turns the forearm toward palm down, the patient keeps the palm up."
    )
    return _scene(angles, OBLIQUE, items, action, lens=[*lens, turned], lens_view=PALM_SIDE)


FINGER_ACTIONS = {
    2: gettext_noop("The examiner presses the index finger down, the patient holds it up."),
    3: gettext_noop("The examiner presses the middle finger down, the patient holds it up."),
    4: gettext_noop("The examiner presses the ring finger down, the patient holds it up."),
    5: gettext_noop("The examiner presses the little finger down, the patient holds it up."),
}
FROM_FRONT = View(around=58, above=34)


def _finger_extension(finger: int, *, pressed: bool) -> Scene:
    held = [20.0, 10.0, 10.0, 10.0, 10.0]
    if pressed:
        held[finger - 1] = -16.0
    angles = BENT_PALM_DOWN.with_(fingers=tuple(held))
    posed, items = seated(angles, SIDE)
    items += _held_from_below(posed.elbow.point(0.19))
    lens = forearm_piece(posed, FROM_FRONT, share=0.16, spread=6)
    if not pressed:
        action = gettext_noop("The examiner holds the forearm above the wrist.")
        return _scene(angles, SIDE, items, action, lens=lens, lens_view=FROM_FRONT)
    joint = fingers(posed.hand, angles.fingers, 6)[finger - 1].joints[2]
    place = plus(joint, (0, 0, 0.016))
    hand = touching(place, (-0.35, 0.25, -0.9), (-0.9, 0.0, 0.4), left=True)
    lens += [*mitten(hand, POINTING, layer=3), push(plus(place, (-0.03, 0, 0.02)), DOWN, 0.07)]
    return _scene(angles, SIDE, items, FINGER_ACTIONS[finger], lens=lens, lens_view=FROM_FRONT)


def _palpation(*, pressed: bool) -> Scene:
    angles = BENT_PALM_DOWN.with_(shoulder_flexion=20, elbow_flexion=70)
    posed, items = seated(angles, SIDE)
    place = epicondyle(posed)
    items += [*table(0.62, 0.12, posed.elbow.at[2] - 0.05), spot(place, 0.022)]
    if not pressed:
        action = gettext_noop(
            "The forearm lies on a table; the ring marks the outside of the elbow."
        )
        return _scene(angles, SIDE, items, action)
    hand = touching(plus(place, (-0.004, -0.02, 0)), (0.86, 0.3, 0.25), (0.1, 0.6, -0.6), left=True)
    items += helping_hand(hand, POINTING, forearm=(-1.0, -0.2, -0.3))
    action = gettext_noop("The examiner presses with a fingertip on the outside of the elbow.")
    return _scene(angles, SIDE, items, action)


ABOVE = View(around=35, above=30)


def _grip(angles: Angles, view: View, *, squeezed: bool) -> Scene:
    flexion = 68 if squeezed else 38
    angles = angles.with_(fingers=(40, *(flexion,) * 4))
    posed, items = seated(angles, view)
    items += dynamometer(posed.hand)
    lens = [*forearm_piece(posed, view, share=0.4), *dynamometer(posed.hand)]
    action = (
        gettext_noop("The hand squeezes the dynamometer.")
        if squeezed
        else gettext_noop("The hand lies around the dynamometer.")
    )
    return _scene(angles, view, items, action, lens=lens, lens_view=view)


def _cup_lift(*, lifted: bool) -> Scene:
    angles = Angles(
        shoulder_flexion=40 if lifted else 28, elbow_flexion=70 if lifted else 62,
        fingers=(40, *(44.0,) * 4),
    )  # fmt: skip
    posed, items = seated(angles, ABOVE)
    resting = arm(Trunk().shoulder(left=False), Angles(shoulder_flexion=28, elbow_flexion=62))
    items += [
        *cup(posed.hand.point(0.08, 0.022, 0.052)),
        *table(0.62, 0.16, resting.hand.at[2] - 0.045),
    ]
    action = (
        gettext_noop("The cup is lifted, filled to the brim.")
        if lifted
        else gettext_noop("The hand lies around a filled cup on the table.")
    )
    return _scene(angles, ABOVE, items, action)


def _chair_lift(*, lifted: bool) -> Scene:
    angles = Angles(
        shoulder_flexion=58 if lifted else 34, pronation=84,
        wrist_flexion=-26 if lifted else -14, fingers=(50, *(64.0,) * 4),
    )  # fmt: skip
    trunk = Trunk(lean=6)
    posed = arm(trunk.shoulder(left=False), angles)
    grip = posed.hand.point(*GRIP)
    back = chair(grip[0] + 0.02, grip[2] - 0.79)
    floor = Stroke(points=((-0.3, 0.0, FLOOR), (1.0, 0.0, FLOOR)), role=Role.DETAIL, layer=0)
    items = [floor, *head_and_trunk(trunk), *standing(), *arm_solids(posed, SIDE, Role.LIMB), *back]
    if lifted:
        beside = plus(grip, (0.32, -0.2, -0.28))
        items.append(arrow(beside, plus(beside, (0, 0, 0.34)), role=Role.MOTION))
    action = (
        gettext_noop("The chair is lifted by its back.")
        if lifted
        else gettext_noop("Standing behind a light chair, the hand lies on its back.")
    )
    return _scene(angles, SIDE, items, action)


def _both(build: Callable[..., Scene], change: str, *given: object) -> tuple[Scene, Scene]:
    return build(*given, **{change: False}), build(*given, **{change: True})


BUILT: dict[str, Callable[[], tuple[Scene, Scene]]] = {
    "passive-stretch": lambda: (
        _passive_stretch(5, pressed=False),
        _passive_stretch(72, pressed=True),
    ),
    "wrist-extension": lambda: (
        _wrist_extension(0, pressed=False),
        _wrist_extension(-32, pressed=True),
    ),
    "supination": partial(_both, _supination, "pressed"),
    "finger-extension": partial(_both, _finger_extension, "pressed", 3),
    **{
        f"finger-extension-{finger}": partial(_both, _finger_extension, "pressed", finger)
        for finger in FINGER_ACTIONS
    },
    "palpation": partial(_both, _palpation, "pressed"),
    "chair-lift": partial(_both, _chair_lift, "lifted"),
    "cup-lift": partial(_both, _cup_lift, "lifted"),
    "grip-straight": partial(_both, _grip, "squeezed", FORWARD_STRAIGHT, ABOVE),
    "grip-bent": partial(_both, _grip, "squeezed", BENT_PALM_DOWN.with_(pronation=0), SIDE),
    "grip-bent-palm-down": partial(_both, _grip, "squeezed", BENT_PALM_DOWN, ABOVE),
    "grip": partial(_both, _grip, "squeezed", FORWARD_STRAIGHT, ABOVE),
}


@cache
def scenes(code: str) -> tuple[Scene, Scene]:
    """Return start and end of a test. Raises ValueError for an unknown code."""
    if code not in BUILT:
        raise ValueError(f"no test is called {code!r}")
    return BUILT[code]()


@cache  # drawn from fixed angles, so each is worked out once
def figure(code: str, phase: str, side: Side) -> Figure:
    """Return the drawing of a test. Raises ValueError for an unknown code or phase."""
    return figure_of(scenes(code), phase, side)
