"""A hand from the flexion of its fingers: the bones of each digit, in the frame of the hand."""

from dataclasses import dataclass, replace

from cases.clinical.posture import Frame, Vector, plus, times, unit

# Figure drawing, no source: meters from the wrist along the hand and to the thumb side, then the
# lengths of the three bones and the degrees that the finger leans to the thumb side.
# fmt: off
KNUCKLES = {
    2: (0.096,  0.031, (0.046, 0.027, 0.022),   5),
    3: (0.099,  0.010, (0.051, 0.031, 0.023),   1),
    4: (0.094, -0.011, (0.047, 0.029, 0.023),  -3),
    5: (0.085, -0.031, (0.037, 0.022, 0.021),  -8),
}
# How much each joint of a finger takes of the stated flexion: a fist closes from the middle joint.
JOINTS = (1.0, 1.12, 0.7)
# The thumb's three bones, open and closed over the fingers: along, to the thumb side, to the palm.
THUMB_BASE = (0.022, 0.024, 0.008)
THUMB = (
    (0.044, (0.78,  0.55, 0.30), (0.78,  0.22, 0.58)),
    (0.034, (0.90,  0.38, 0.20), (0.62, -0.38, 0.68)),
    (0.028, (0.96,  0.24, 0.14), (0.30, -0.90, 0.30)),
)
# fmt: on
THUMB_CLOSED = 80.0


@dataclass(frozen=True, kw_only=True)
class Digit:
    """One finger as four points from knuckle to tip, and the direction out of its nail."""

    number: int
    joints: tuple[Vector, ...]
    nail: Vector


def fingers(hand: Frame, flexion: tuple[float, ...], spread: float = 0) -> tuple[Digit, ...]:
    """Return digits 1–5 with `flexion` in degrees each.

    A negative flexion lifts the finger at its knuckle only. `spread` opens the fingers, in degrees
    between two of them.
    """
    thumb, *others = flexion
    return (
        _thumb(hand, thumb, spread),
        *(
            _finger(hand, number, bend, spread * (3.5 - number))
            for number, bend in enumerate(others, start=2)
        ),
    )


def _finger(hand: Frame, number: int, bend: float, aside: float) -> Digit:
    along, thumb, bones, lean = KNUCKLES[number]
    # Closed fingers lie side by side; only open ones fan out.
    open_share = max(0.0, 1 - max(bend, 0) / 60)
    frame = hand.moved(along, thumb).turned("along", "thumb", (lean + aside) * open_share)
    joints = [frame.at]
    for share, bone in zip(JOINTS, bones, strict=True):
        turn = bend * share if bend >= 0 or share == JOINTS[0] else 0.0
        frame = frame.turned("along", "palm", turn).moved(along=bone)
        joints.append(frame.at)
    return Digit(number=number, joints=tuple(joints), nail=times(-1, frame.palm))


def _thumb(hand: Frame, bend: float, spread: float) -> Digit:
    closed = min(max(bend, 0) / THUMB_CLOSED, 1)
    opened = replace(hand, at=hand.point(*THUMB_BASE)).turned("along", "thumb", 1.6 * spread)
    joints = [opened.at]
    for bone, apart, over in THUMB:
        blend = unit(plus(times(1 - closed, apart), times(closed, over)))
        joints.append(replace(opened, at=joints[-1]).point(*times(bone, blend)))
    return Digit(number=1, joints=tuple(joints), nail=hand.thumb)
