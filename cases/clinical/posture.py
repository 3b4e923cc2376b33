"""An arm from its joint angles: where each joint is, and how each segment lies.

Angles are degrees from the anatomical neutral position of the arm hanging at the side with the thumb
forward. Lengths are meters of a figure made for drawing: its proportions are common practice in
figure drawing, without a source, and nothing is measured or computed from them.

The space is the person's own: x forward, y to the person's left, z up.
"""

import math
from dataclasses import dataclass, replace
from typing import Any, Self

Vector = tuple[float, float, float]

UPPER_ARM, FOREARM = 0.29, 0.245
FIST, RELAXED, STRAIGHT = (80.0,) * 5, (28.0, 18.0, 22.0, 26.0, 30.0), (0.0,) * 5

# Read as: a joint that is asked to go further than this is a slip of the pen, not a posture.
LIMITS = {
    "shoulder_flexion": (-60, 180),
    "shoulder_abduction": (-60, 180),
    "shoulder_rotation": (-90, 90),
    "elbow_flexion": (-10, 150),
    "pronation": (-90, 90),
    "wrist_flexion": (-90, 90),
    "radial_deviation": (-45, 30),
}
FINGER_LIMITS = (-30, 100)


@dataclass(frozen=True, kw_only=True)
class Angles:
    """The joint angles of one arm, in degrees.

    Outward rotation, pronation (palm down), wrist flexion (hand bent to the palm) and radial
    deviation (toward the thumb) are positive; supination, extension and ulnar deviation are
    negative. `fingers` are the flexion of digits 1 (thumb) to 5. Raises ValueError outside LIMITS.
    """

    shoulder_flexion: float = 0
    shoulder_abduction: float = 0
    shoulder_rotation: float = 0
    elbow_flexion: float = 0
    pronation: float = 0
    wrist_flexion: float = 0
    radial_deviation: float = 0
    fingers: tuple[float, ...] = STRAIGHT

    def __post_init__(self) -> None:
        for name, (low, high) in LIMITS.items():
            if not low <= getattr(self, name) <= high:
                raise ValueError(f"{name} {getattr(self, name)} is not in {low} to {high} degrees")
        if len(self.fingers) != 5:
            raise ValueError(f"a hand has 5 fingers, not {len(self.fingers)}")
        low, high = FINGER_LIMITS
        if not all(low <= flexion <= high for flexion in self.fingers):
            raise ValueError(f"fingers {self.fingers} are not in {low} to {high} degrees")

    def with_(self, **changes: Any) -> Self:
        """Return the same posture but for `changes`. Raises ValueError as the class does."""
        return replace(self, **changes)


def plus(*vectors: Vector) -> Vector:
    """Return the sum of vectors."""
    x, y, z = (math.fsum(parts) for parts in zip(*vectors, strict=True))
    return (x, y, z)


def times(factor: float, vector: Vector) -> Vector:
    """Return the vector made `factor` times as long."""
    return (factor * vector[0], factor * vector[1], factor * vector[2])


def minus(end: Vector, start: Vector) -> Vector:
    """Return the way from `start` to `end`."""
    return plus(end, times(-1, start))


def dot(one: Vector, other: Vector) -> float:
    """Return the scalar product."""
    return math.fsum(a * b for a, b in zip(one, other, strict=True))


def cross(one: Vector, other: Vector) -> Vector:
    """Return the vector product."""
    (a, b, c), (d, e, f) = one, other
    return (b * f - c * e, c * d - a * f, a * e - b * d)


def unit(vector: Vector) -> Vector:
    """Return the direction of a vector. Raises ValueError for one without length."""
    length = math.hypot(*vector)
    if length == 0:
        raise ValueError("a vector without length has no direction")
    return times(1 / length, vector)


@dataclass(frozen=True)
class Frame:
    """A joint and how what follows it lies: `along` it, to its `thumb` side, out of its `palm` side.

    For the upper arm these are down the arm, forward and toward the body.
    """

    at: Vector
    along: Vector
    thumb: Vector
    palm: Vector

    def point(self, along: float = 0, thumb: float = 0, palm: float = 0) -> Vector:
        """Return a point in meters along the three directions."""
        return plus(
            self.at, times(along, self.along), times(thumb, self.thumb), times(palm, self.palm)
        )

    def moved(self, along: float = 0, thumb: float = 0, palm: float = 0) -> "Frame":
        """Return the frame carried to `point`, turned as before."""
        return replace(self, at=self.point(along, thumb, palm))

    def turned(self, first: str, second: str, degrees: float) -> "Frame":
        """Return the frame with direction `first` turned toward direction `second`."""
        one, other = getattr(self, first), getattr(self, second)
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return replace(
            self,
            **{
                first: plus(times(cos, one), times(sin, other)),
                second: plus(times(cos, other), times(-sin, one)),
            },
        )


@dataclass(frozen=True, kw_only=True)
class Arm:
    """The frames of an arm: at the shoulder, at the elbow, at the wrist before and after it bends."""

    angles: Angles
    shoulder: Frame
    elbow: Frame
    forearm_end: Frame
    hand: Frame


def arm(shoulder: Frame, angles: Angles) -> Arm:
    """Return the arm that hangs from `shoulder` (along down, thumb forward, palm to the body).

    A left arm has its palm direction mirrored; every joint then turns as in a mirror.
    """
    upper = (
        shoulder.turned("along", "thumb", angles.shoulder_flexion)
        .turned("along", "palm", -angles.shoulder_abduction)
        .turned("thumb", "palm", -angles.shoulder_rotation)
    )
    elbow = upper.moved(along=UPPER_ARM).turned("along", "thumb", angles.elbow_flexion)
    turned = elbow.turned("thumb", "palm", angles.pronation)
    end = turned.moved(along=FOREARM)
    hand = end.turned("along", "palm", angles.wrist_flexion).turned(
        "along", "thumb", angles.radial_deviation
    )
    return Arm(angles=angles, shoulder=upper, elbow=elbow, forearm_end=end, hand=hand)


def reach(shoulder: Vector, wrist: Vector, toward: Vector) -> Vector:
    """Return the elbow of an arm whose wrist is at `wrist`, bent out to the side of `toward`.

    Raises ValueError when the wrist is out of reach.
    """
    way = minus(wrist, shoulder)
    distance = math.hypot(*way)
    if not abs(UPPER_ARM - FOREARM) < distance <= UPPER_ARM + FOREARM:
        raise ValueError(f"a wrist {distance:.3f} m from the shoulder is out of reach")
    direction = unit(way)
    before = (UPPER_ARM**2 - FOREARM**2 + distance**2) / (2 * distance)
    aside = math.sqrt(max(UPPER_ARM**2 - before**2, 0))
    out = unit(minus(toward, times(dot(toward, direction), direction)))
    return plus(shoulder, times(before, direction), times(aside, out))
