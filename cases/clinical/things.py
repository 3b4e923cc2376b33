"""What a figure holds, leans on or is pushed by: solids and strokes in meters, sizes for drawing."""

import math
from collections.abc import Iterable

from cases.clinical.drawing import Ball, Items, Role, Solid, Stroke
from cases.clinical.posture import Frame, Vector, cross, minus, plus, times, unit

# Where a closed hand holds a bar: along the hand and in front of its palm.
GRIP = (0.086, 0.0, 0.030)


def rod(
    start: Vector, end: Vector, radius: float, *, layer: int = 2, depth_of: Vector | None = None
) -> Solid:
    """Return a round bar."""
    hull = (Ball(start, radius), Ball(end, radius))
    return Solid(hulls=(hull,), role=Role.THING, layer=layer, depth_of=depth_of)


def disc(center: Vector, axis: Vector, radius: float, thick: float, *, layer: int = 2) -> Solid:
    """Return a flat cylinder around `axis`."""
    corners = [
        Ball(plus(rim, times(share * thick / 2, unit(axis))))
        for share in (-1, 1)
        for rim in ring(center, axis, radius)
    ]
    return Solid(hulls=(tuple(corners),), role=Role.THING, layer=layer)


def ring(
    center: Vector, axis: Vector, radius: float, *, stretch: float = 1, up: Vector | None = None
) -> list[Vector]:
    """Return points of a circle around `axis`; `stretch` makes it longer along `up`."""
    one = unit(up) if up else _across(axis)
    other = unit(cross(axis, one))
    return [
        plus(
            center,
            times(stretch * radius * math.cos(2 * math.pi * step / 28), one),
            times(radius * math.sin(2 * math.pi * step / 28), other),
        )
        for step in range(28)
    ]


def _across(axis: Vector) -> Vector:
    x, y, z = unit(axis)
    return unit(cross((x, y, z), (0.0, 0.0, 1.0) if abs(z) < 0.9 else (1.0, 0.0, 0.0)))


def block(low: Vector, high: Vector, *, layer: int = 1, role: Role = Role.THING) -> Solid:
    """Return a box between two opposite corners."""
    corners = [
        Ball((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1])
        for z in (low[2], high[2])
    ]  # fmt: skip
    middle = times(0.5, plus(low, high))
    return Solid(hulls=(tuple(corners),), role=role, layer=layer, depth_of=middle)


def crate(low: Vector, high: Vector, *, layer: int = 2) -> Items:
    """Return a box with the edges that are seen from the right and above."""
    near = (high[0], low[1], high[2])
    edges = [
        ((low[0], low[1], high[2]), near),
        ((high[0], high[1], high[2]), near),
        ((high[0], low[1], low[2]), near),
    ]
    strokes = [Stroke(points=edge, role=Role.DETAIL, layer=layer) for edge in edges]
    return [block(low, high, layer=layer), *strokes]


def table(
    front: float, back: float, top: float, *, near: float = -0.36, far: float = 0.05
) -> Items:
    """Return a table top with two legs, in front of the person."""
    under = top - 0.03
    legs = [
        rod((x, (near + far) / 2, under), (x, (near + far) / 2, under - 0.16), 0.014, layer=0)
        for x in (back + 0.06, front - 0.06)
    ]
    return [*legs, block((back, near, under), (front, far, top))]


def dumbbell(hand: Frame) -> Items:
    """Return a small weight in a closed hand."""
    grip = hand.moved(*GRIP)
    ends = grip.point(0, -0.07), grip.point(0, 0.07)
    return [
        rod(*ends, radius=0.011, depth_of=grip.at),
        *(disc(end, hand.thumb, 0.029, 0.03) for end in ends),
    ]


def hammer(hand: Frame) -> Items:
    """Return a hammer whose handle leaves the hand on the thumb side."""
    grip = hand.moved(*GRIP)
    top = grip.point(0, 0.20)
    return [
        rod(grip.point(0, -0.07), top, 0.0105, depth_of=grip.at),
        rod(grip.point(-0.055, 0.20), grip.point(0.055, 0.20), 0.021, depth_of=top),
    ]


def ball(center: Vector, radius: float, *, layer: int = 2) -> Solid:
    """Return a ball."""
    return Solid(hulls=((Ball(center, radius),),), role=Role.THING, layer=layer)


def band(*points: Vector, layer: int = 2) -> Stroke:
    """Return an elastic band stretched through points."""
    return Stroke(points=points, role=Role.BAND, layer=layer)


def racket(hand: Frame) -> Items:
    """Return a racket whose head leaves the hand on the thumb side, strings facing its palm."""
    grip = hand.moved(*GRIP)
    middle = grip.point(0, 0.46)
    rim = ring(middle, hand.palm, 0.115, stretch=1.25, up=hand.thumb)
    strings = []
    for offset in (-0.06, 0.0, 0.06):
        half = 0.115 * math.sqrt(1 - (offset / 0.115) ** 2)
        strings.append((middle, offset, half))
    lines = [
        Stroke(points=(_strung(hand, m, o, 1.25 * h), _strung(hand, m, o, -1.25 * h)), role=Role.DETAIL)
        for m, o, h in strings
    ] + [
        Stroke(points=(_strung(hand, m, h, 1.25 * o), _strung(hand, m, -h, 1.25 * o)), role=Role.DETAIL)
        for m, o, h in strings
    ]  # fmt: skip
    return [
        rod(grip.point(0, -0.06), grip.point(0, 0.32), 0.012, depth_of=grip.at),
        Solid(hulls=(tuple(Ball(point, 0.006) for point in rim),), role=Role.THING),
        *lines,
    ]


def _strung(hand: Frame, middle: Vector, across: float, up: float) -> Vector:
    return plus(middle, times(across, hand.along), times(up, hand.thumb))


def dynamometer(hand: Frame) -> Items:
    """Return a dynamometer: the bar under the fingers, the frame, the dial above the hand."""
    grip = hand.moved(*GRIP)
    back = hand.moved(0.052, 0, 0.024)
    dial = grip.point(-0.016, 0.088)
    needle = unit(plus(hand.thumb, times(0.7, hand.along)))
    return [
        rod(grip.point(0, -0.055), grip.point(0, 0.06), 0.009, depth_of=grip.at),
        rod(back.point(0, -0.06), back.point(0, 0.06), 0.009, depth_of=back.at),
        disc(dial, hand.palm, 0.036, 0.016),
        Stroke(points=(dial, plus(dial, times(0.026, needle))), role=Role.DETAIL, layer=2),
    ]


def cup(center: Vector, *, layer: int = 2) -> Items:
    """Return a cup that is filled to the brim, standing upright."""
    up = (0.0, 0.0, 1.0)
    low, high = plus(center, (0, 0, -0.075)), plus(center, (0, 0, 0.075))
    corners = [Ball(point) for point in (*ring(low, up, 0.034), *ring(high, up, 0.046))]
    brim = ring(high, up, 0.046)
    return [
        Solid(hulls=(tuple(corners),), role=Role.THING, layer=layer, depth_of=center),
        Stroke(points=(*brim, brim[0]), role=Role.DETAIL, layer=layer),
    ]


def chair(back: float, low: float) -> Items:
    """Return a chair facing away, its backrest at `back` meters forward and `low` meters high."""
    near, far, deep = -0.36, 0.02, 0.38
    seat, rest = low + 0.40, low + 0.82
    posts = [
        *(((x, y, low), (x, y, seat)) for x in (back, back + deep) for y in (near, far)),
        *(((back, y, seat), (back, y, rest)) for y in (near, far)),
    ]
    return [
        *(rod(start, end, 0.013, layer=1) for start, end in posts),
        block((back, near, seat), (back + deep, far, seat + 0.03)),
        block((back - 0.012, near, rest - 0.16), (back + 0.012, far, rest)),
    ]


def arrow(*points: Vector, role: Role = Role.FORCE, layer: int = 4) -> Stroke:
    """Return an arrow through points to the last one."""
    return Stroke(points=points, role=role, layer=layer, arrow=True)


def push(at: Vector, direction: Vector, length: float = 0.13) -> Stroke:
    """Return the arrow of a force in `direction` that ends at `at`."""
    return arrow(minus(at, times(length, unit(direction))), at)


def turn_arrow(
    center: Vector, first: Vector, second: Vector, radius: float, degrees: Iterable[float],
    role: Role = Role.FORCE,
) -> Stroke:  # fmt: skip
    """Return an arrow around `center` through angles from `first` toward `second`."""
    return arrow(
        *(
            plus(
                center,
                times(radius * math.cos(math.radians(angle)), unit(first)),
                times(radius * math.sin(math.radians(angle)), unit(second)),
            )
            for angle in degrees
        ),
        role=role,
    )


def spot(center: Vector, radius: float = 0.03) -> Solid:
    """Return the ring that marks the painful place."""
    return Solid(hulls=((Ball(center, radius),),), role=Role.SPOT, layer=5)
