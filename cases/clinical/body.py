"""The person of a figure as solids: trunk, head, arms, legs. Sizes are for drawing, without a source."""

from dataclasses import dataclass, replace

from cases.clinical.drawing import Ball, Items, Role, Solid, View
from cases.clinical.hands import hand_solids, mitten
from cases.clinical.posture import (
    FOREARM,
    Arm,
    Frame,
    Vector,
    minus,
    plus,
    reach,
    times,
    unit,
)

SHOULDER_HEIGHT, SHOULDER_OUT, THIGH, SHIN = 0.47, 0.175, 0.40, 0.41
FLOOR = -(THIGH + SHIN + 0.065)
PELVIS = Frame((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


@dataclass(frozen=True, kw_only=True)
class Trunk:
    """A trunk on the pelvis at (0, 0, 0): how far it leans forward and turns to its left, in degrees."""

    lean: float = 0
    turn: float = 0

    @property
    def frame(self) -> Frame:
        """The frame at the pelvis: along down, thumb forward, palm to the person's left."""
        return PELVIS.turned("thumb", "palm", self.turn).turned("thumb", "along", self.lean)

    def point(self, forward: float, left: float, up: float) -> Vector:
        """Return a point of the trunk in meters."""
        return self.frame.point(-up, forward, left)

    def shoulder(self, *, left: bool) -> Frame:
        """Return where the right or the left arm hangs."""
        out = SHOULDER_OUT if left else -SHOULDER_OUT
        frame = replace(self.frame, at=self.point(0.0, out, SHOULDER_HEIGHT))
        return replace(frame, palm=times(-1, frame.palm)) if left else frame


def head_and_trunk(trunk: Trunk, *, layer: int = 1, open_below: float | None = None) -> Items:
    """Return trunk, neck and head; `open_below` leaves the trunk open at that height in meters."""
    balls = [
        Ball(trunk.point(forward, side * out, up), radius)
        for forward, out, up, radius in (
            (-0.005, 0.125, 0.465, 0.052),
            (0.015, 0.075, 0.34, 0.098),
            (0.01, 0.065, 0.12, 0.085),
            (-0.005, 0.08, 0.0, 0.098),
        )
        for side in (-1, 1)
    ]
    neck = (Ball(trunk.point(-0.012, 0, 0.49), 0.052), Ball(trunk.point(0.0, 0, 0.59), 0.045))
    skull = (
        Ball(trunk.point(-0.012, 0, 0.690), 0.080),
        Ball(trunk.point(0.028, 0, 0.680), 0.068),
        Ball(trunk.point(0.050, 0, 0.607), 0.030),
        Ball(trunk.point(0.010, 0, 0.600), 0.038),
    )
    nose = (
        Ball(trunk.point(0.086, 0, 0.680), 0.011),
        Ball(trunk.point(0.102, 0, 0.652), 0.009),
        Ball(trunk.point(0.078, 0, 0.645), 0.011),
    )
    return [
        Solid(hulls=(neck,), role=Role.BODY, layer=layer, depth_of=trunk.point(0, 0.5, 0)),
        Solid(hulls=(tuple(balls),), role=Role.BODY, layer=layer, open_below=open_below),
        Solid(hulls=(skull, nose), role=Role.BODY, layer=layer, depth_of=trunk.point(0, -0.5, 0)),
    ]


def leg(hip: Vector, thigh: Vector, shin: Vector, *, layer: int) -> Solid:
    """Return a leg from the directions of its two segments."""
    knee = plus(hip, times(THIGH, unit(thigh)))
    ankle = plus(knee, times(SHIN, unit(shin)))
    heel, toe = plus(ankle, (-0.03, 0.0, -0.02)), plus(ankle, (0.15, 0.0, -0.045))
    hulls = (
        (Ball(hip, 0.088), Ball(knee, 0.058)),
        (Ball(knee, 0.058), Ball(ankle, 0.038)),
        (Ball(heel, 0.045), Ball(ankle, 0.038), Ball(toe, 0.022)),
    )
    return Solid(hulls=hulls, role=Role.BODY, layer=layer)


def standing() -> list[Solid]:
    """Return two straight legs."""
    return [
        leg((0.0, side * 0.09, 0.0), (0.02, 0.0, -1.0), (0.0, 0.0, -1.0), layer=layer)
        for side, layer in ((1, 0), (-1, 1))
    ]


def walking() -> list[Solid]:
    """Return two legs in a step."""
    return [
        leg((0.0, 0.09, 0.0), (0.36, 0.0, -1.0), (0.05, 0.0, -1.0), layer=0),
        leg((0.0, -0.09, 0.0), (-0.12, 0.0, -1.0), (-0.42, 0.0, -1.0), layer=1),
    ]


def arm_solids(posed: Arm, view: View, role: Role, *, spread: float = 0, layer: int = 2) -> Items:
    """Return an arm from shoulder to fingertips as one outline, the fingers on their own."""
    hand, others = hand_solids(
        posed.hand, posed.angles.fingers, view, role, spread=spread, layer=layer
    )
    sleeve = arm_hulls(posed.shoulder.at, posed.elbow.at, posed.forearm_end)
    whole = replace(hand, hulls=(*sleeve, *hand.hulls))
    return [whole, *others]


def arm_hulls(shoulder: Vector, elbow: Vector, end: Frame) -> tuple[tuple[Ball, ...], ...]:
    """Return the hulls of upper arm and forearm; the wrist is flat, as wide as the hand."""
    way = minus(end.at, elbow)
    muscle = plus(elbow, times(0.28, way))
    upper = plus(times(0.55, shoulder), times(0.45, elbow))
    wrist = [Ball(end.point(0.0, out), 0.0185) for out in (-0.011, 0.011)]
    return (
        (Ball(shoulder, 0.056), Ball(upper, 0.049)),
        (Ball(upper, 0.049), Ball(elbow, 0.040)),
        (Ball(elbow, 0.040), Ball(muscle, 0.042)),
        (Ball(muscle, 0.042), *wrist),
    )


def epicondyle(posed: Arm) -> Vector:
    """Return the outer side of the elbow, where the wrist extensors start."""
    outward = times(-1, posed.shoulder.palm)
    return plus(posed.elbow.at, times(0.034, outward), times(0.008, posed.elbow.along))


def reaching_arm(
    shoulder: Vector, hand: Frame, toward: Vector, flexion: tuple[float, ...], *, layer: int = 2
) -> Items:
    """Return the person's other arm with its hand laid at `hand` and its elbow out to `toward`."""
    elbow = reach(shoulder, hand.at, toward)
    own, thumb = mitten(hand, flexion, layer=layer, role=Role.OTHER)
    upper, forearm = arm_hulls(shoulder, elbow, hand)[:2], arm_hulls(shoulder, elbow, hand)[2:]
    return [
        # The far shoulder is behind the chest, the hand before it.
        Solid(hulls=(*upper, *forearm), role=Role.OTHER, layer=0),
        replace(own, hulls=(*forearm, *own.hulls)),
        thumb,
    ]


def forearm_piece(posed: Arm, view: View, *, share: float = 0.5, spread: float = 0) -> Items:
    """Return the hand with the last `share` of the forearm, cut off straight, to be shown larger."""
    hand, others = hand_solids(posed.hand, posed.angles.fingers, view, Role.LIMB, spread=spread)
    end = posed.forearm_end
    cut = end.moved(along=-share * FOREARM)
    edge = [Ball(cut.point(0, 0.034 * a, 0.03 * b)) for a, b in _AROUND]
    wrist = [Ball(end.point(0.0, out), 0.0185) for out in (-0.011, 0.011)]
    return [replace(hand, hulls=((*edge, *wrist), *hand.hulls)), *others]


_AROUND = ((1, 0), (0.7, 0.7), (0, 1), (-0.7, 0.7), (-1, 0), (-0.7, -0.7), (0, -1), (0.7, -0.7))
