"""Hands as solids: palm and fingers, the quiet hands that only help, a pointing hand."""

from dataclasses import replace

from cases.clinical.drawing import Ball, Items, Role, Solid, Stroke, View
from cases.clinical.hand import Digit, fingers
from cases.clinical.posture import Frame, Vector, cross, dot, minus, plus, times, unit

FINGER_RADIUS, THUMB_RADIUS = 0.0098, 0.0115
POINTING = (80.0, 8.0, 78.0, 80.0, 80.0)


def hand_solids(
    hand: Frame,
    flexion: tuple[float, ...],
    view: View,
    role: Role,
    *,
    spread: float = 0,
    layer: int = 2,
) -> tuple[Solid, Items]:
    """Return the palm, then fingers with strokes where the palm is seen and nails where the back is."""
    digits = fingers(hand, flexion, spread)
    palm = Solid(hulls=palm_hulls(hand, digits), role=role, layer=layer, depth_of=hand.point(0.06))
    solids: Items = []
    for digit in digits:
        solids += _digit_solids(digit, role, layer, closed=flexion[digit.number - 1] > 40)
    if role is Role.LIMB:
        solids += _palm_strokes(hand, layer) if _shows_palm(hand, flexion, view) else []
        solids += [nail for digit in digits for nail in _nails(digit, view, layer)]
    return palm, solids


def _digit_solids(digit: Digit, role: Role, layer: int, *, closed: bool) -> list[Solid]:
    hulls = _digit_hulls(digit)
    if not closed or digit.number == 1:
        return [Solid(hulls=hulls, role=role, layer=layer, depth_of=_middle(digit))]
    # A closed finger lies partly before and partly behind what it holds.
    return [
        Solid(hulls=hulls[:1], role=role, layer=layer),
        Solid(hulls=hulls[1:], role=role, layer=layer),
    ]


def _digit_hulls(digit: Digit) -> tuple[tuple[Ball, ...], ...]:
    radius = THUMB_RADIUS if digit.number == 1 else FINGER_RADIUS
    return tuple(
        (Ball(start, radius), Ball(end, radius * 0.92))
        for start, end in zip(digit.joints, digit.joints[1:], strict=False)
    )


def _middle(digit: Digit) -> Vector:
    return times(0.5, plus(digit.joints[1], digit.joints[-1]))


def palm_hulls(hand: Frame, digits: tuple[Digit, ...]) -> tuple[tuple[Ball, ...], ...]:
    """Return the hulls of the palm and the ball of the thumb."""
    knuckles = [digit.joints[0] for digit in digits if digit.number > 1]
    wrist = [Ball(hand.point(0.0, out), 0.0185) for out in (-0.013, 0.013)]
    base = Ball(hand.point(0.03, -0.022), 0.016)
    flat = (*wrist, base, *(Ball(knuckle, 0.0125) for knuckle in knuckles))
    thumb = digits[0].joints
    ball = (Ball(hand.point(0.008, 0.012, 0.004), 0.018), Ball(thumb[1], 0.0135))
    web = (Ball(thumb[1], 0.010), Ball(hand.point(0.05, 0.020), 0.012), *ball[:1])
    return (flat, ball, web)


def _shows_palm(hand: Frame, flexion: tuple[float, ...], view: View) -> bool:
    return view.nearness(hand.palm) > 0.3 and sum(flexion[1:]) < 160


def _palm_strokes(hand: Frame, layer: int) -> list[Stroke]:
    ends = (
        ((0.030, -0.022), (0.064, 0.004)),
        ((0.046, -0.027), (0.080, 0.000)),
        ((0.062, -0.030), (0.088, -0.009)),
    )
    return [
        Stroke(
            points=(hand.point(*start, 0.014), hand.point(*end, 0.014)),
            role=Role.PALM,
            layer=layer,
        )
        for start, end in ends
    ]


def _nails(digit: Digit, view: View, layer: int) -> list[Solid]:
    before, tip = digit.joints[-2:]
    along = unit(minus(tip, before))
    nail = unit(minus(digit.nail, times(dot(digit.nail, along), along)))
    if view.nearness(nail) < 0.35:
        return []
    middle = plus(tip, times(-0.003, along), times(0.009, nail))
    hull = (Ball(plus(middle, times(-0.005, along)), 0.0045), Ball(middle, 0.0045))
    return [
        Solid(hulls=(hull,), role=Role.NAIL, layer=layer, depth_of=plus(middle, times(0.02, nail)))
    ]


def hand_frame(at: Vector, along: Vector, palm: Vector, *, left: bool) -> Frame:
    """Return the frame of a hand that lies `along` with its palm to `palm`."""
    along = unit(along)
    palm = unit(minus(palm, times(dot(palm, along), along)))
    thumb = cross(along, palm)
    return Frame(at, along, times(-1, thumb) if left else thumb, palm)


def mitten(
    hand: Frame, flexion: tuple[float, ...], *, layer: int, role: Role = Role.HELPER
) -> tuple[Solid, Solid]:
    """Return a hand as two quiet outlines, the thumb and the rest; for hands that only help."""
    thumb, *others = fingers(hand, flexion)
    hulls = [
        *palm_hulls(hand, (thumb, *others)),
        *(hull for d in others for hull in _digit_hulls(d)),
    ]
    middle = hand.point(0.06)
    return (
        Solid(hulls=tuple(hulls), role=role, layer=layer, depth_of=middle),
        Solid(hulls=_digit_hulls(thumb), role=role, layer=layer, depth_of=_middle(thumb)),
    )


def helping_hand(
    hand: Frame,
    flexion: tuple[float, ...],
    *,
    forearm: Vector,
    layer: int = 3,
    length: float = 0.14,
) -> Items:
    """Return another person's hand with a cuff and a piece of sleeve toward `forearm`."""
    own, thumb = mitten(hand, flexion, layer=layer)
    back = unit(forearm)
    cuff, end = plus(hand.at, times(0.05, back)), plus(hand.at, times(length, back))
    wrist = (*(Ball(hand.point(0, out), 0.0185) for out in (-0.011, 0.011)), Ball(cuff, 0.024))
    sleeve = Solid(
        hulls=((Ball(cuff, 0.033), Ball(end, 0.037)),),
        role=Role.HELPER,
        layer=layer,
        depth_of=plus(cuff, (0.0, -0.2, 0.0)),
    )
    return [replace(own, hulls=(wrist, *own.hulls)), thumb, sleeve]


def touching(point: Vector, along: Vector, palm: Vector, *, left: bool) -> Frame:
    """Return the frame of a pointing hand whose index fingertip is at `point`."""
    frame = hand_frame(point, along, palm, left=left)
    tip = fingers(frame, POINTING)[1].joints[-1]
    return replace(frame, at=minus(plus(point, point), tip))
