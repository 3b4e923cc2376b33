"""From solids in space to lines on a sheet: a camera, the outline of each solid, what hides what.

A figure is a few primitives in a box of 400 × 320 units, y downward. Each one carries a role (what
it shows) and nothing about color or pen: page and paper choose those.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from cases.clinical.posture import Vector, dot
from clinic.wording import Sentence

Point = tuple[float, float]

WIDTH, HEIGHT, EDGE = 400.0, 320.0, 14.0
ARROW_LENGTH, ARROW_WIDTH = 30.0, 24.0


class Role(StrEnum):
    """What a primitive shows."""

    COVER = "cover"  # hides what is behind, without an edge
    BODY = "body"  # the person, apart from the arm in question
    LIMB = "limb"  # the arm in question
    PALM = "palm"  # strokes on the palm side of its hand
    NAIL = "nail"  # the nails on the back of its hand
    OTHER = "other"  # the person's other arm
    HELPER = "helper"  # the examiner's hands
    THING = "thing"  # table, chair, weight, band, ball
    BAND = "band"  # an elastic band
    DETAIL = "detail"  # thin lines on a thing
    LENS = "lens"  # the ring around a part that is shown larger
    FORCE = "force"  # the push or pull of somebody's hand
    MOTION = "motion"  # the way that the arm goes
    SPOT = "spot"  # the painful place


@dataclass(frozen=True)
class Ball:
    """A ball in space, in meters. Limbs are the hulls of a few of them; a corner has radius 0."""

    at: Vector
    radius: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Solid:
    """Hulls of balls, drawn as one outline. Higher layers hide lower ones; within one, depth counts.

    `open_below` leaves out the contour of a single hull below that height in meters, where a body
    just goes on.
    """

    hulls: tuple[tuple[Ball, ...], ...]
    role: Role
    layer: int = 2
    depth_of: Vector | None = None
    open_below: float | None = None


@dataclass(frozen=True, kw_only=True)
class Stroke:
    """A line through points in space; an arrow has a head at its last point."""

    points: tuple[Vector, ...]
    role: Role
    layer: int = 2
    arrow: bool = False


Item = Solid | Stroke
Items = list[Item]


@dataclass(frozen=True, kw_only=True)
class Outline:
    """One or more closed outlines, filled and edged as a single shape."""

    role: Role
    parts: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Line:
    """An open line."""

    role: Role
    points: tuple[Point, ...]


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A round outline, filled."""

    role: Role
    center: Point
    radius: float


Primitive = Outline | Line | Circle


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One drawing: primitives from back to front, and what they show in words."""

    primitives: tuple[Primitive, ...]
    alt: Sentence
    box: Point = (WIDTH, HEIGHT)


@dataclass(frozen=True, kw_only=True)
class View:
    """Where the picture is taken from, in degrees: 0 is the side of the arm, 90 the front."""

    around: float = 0
    above: float = 8

    def screen(self, point: Vector) -> Point:
        """Return the point as meters to the right and down, seen from this view."""
        around, above = math.radians(self.around), math.radians(self.above)
        right = (math.cos(around), math.sin(around), 0.0)
        up = (
            -math.sin(around) * math.sin(above),
            math.cos(around) * math.sin(above),
            math.cos(above),
        )
        return dot(point, right), -dot(point, up)

    def nearness(self, direction: Vector) -> float:
        """Return how far a point or direction comes toward the viewer, in its own unit."""
        around, above = math.radians(self.around), math.radians(self.above)
        toward = (
            math.sin(around) * math.cos(above),
            -math.cos(around) * math.cos(above),
            math.sin(above),
        )
        return dot(direction, toward)


@dataclass(frozen=True, kw_only=True)
class Fit:
    """The scale and shift that bring what the view shows into the box."""

    view: View
    scale: float
    left: float
    top: float

    def point(self, vector: Vector) -> Point:
        """Return where a point in space stands in the box."""
        right, down = self.view.screen(vector)
        return self.left + self.scale * right, self.top + self.scale * down


@dataclass(frozen=True, kw_only=True)
class Area:
    """A part of the box."""

    left: float = EDGE
    top: float = EDGE
    right: float = WIDTH - EDGE
    low: float = HEIGHT - EDGE


def fitted(items: Iterable[Item], view: View, area: Area) -> Fit:
    """Return the largest fit that shows all `items` whole in `area`. Raises ValueError without any."""
    spans = [_span(item, view) for item in items]
    if not spans:
        raise ValueError("there is nothing to draw")
    left, top = min(span[0] for span in spans), min(span[1] for span in spans)
    right, low = max(span[2] for span in spans), max(span[3] for span in spans)
    scale = min((area.right - area.left) / (right - left), (area.low - area.top) / (low - top))
    return Fit(
        view=view,
        scale=scale,
        left=(area.left + area.right) / 2 - scale * (left + right) / 2,
        top=(area.top + area.low) / 2 - scale * (top + low) / 2,
    )


def _span(item: Item, view: View) -> tuple[float, float, float, float]:
    balls = (
        [Ball(point) for point in item.points]
        if isinstance(item, Stroke)
        else [ball for hull in item.hulls for ball in hull]
    )
    seen = [(*view.screen(ball.at), ball.radius) for ball in balls]
    lowest = max(y + r for _, y, r in seen)
    if isinstance(item, Solid) and item.open_below is not None:
        lowest = min(lowest, view.screen((0.0, 0.0, item.open_below))[1])
    return (
        min(x - r for x, _, r in seen),
        min(min(y - r for _, y, r in seen), lowest),
        max(x + r for x, _, r in seen),
        lowest,
    )


def drawn(items: Iterable[Item], fit: Fit) -> tuple[Primitive, ...]:
    """Return the primitives of `items` from back to front."""
    ordered = sorted(items, key=lambda item: (item.layer, _depth(item, fit.view)))
    return tuple(primitive for item in ordered for primitive in _primitives(item, fit))


def _depth(item: Item, view: View) -> float:
    if isinstance(item, Stroke):
        return max(view.nearness(point) for point in item.points)
    if item.depth_of is not None:
        return view.nearness(item.depth_of)
    places = [view.nearness(ball.at) for hull in item.hulls for ball in hull]
    return math.fsum(places) / len(places)


def _primitives(item: Item, fit: Fit) -> tuple[Primitive, ...]:
    if isinstance(item, Stroke):
        return _line(item, fit)
    if len(item.hulls) == 1 and len(item.hulls[0]) == 1:
        (ball,) = item.hulls[0]
        return (Circle(role=item.role, center=fit.point(ball.at), radius=fit.scale * ball.radius),)
    parts = tuple(hull_of(hull, fit) for hull in item.hulls)
    if item.open_below is None:
        return (Outline(role=item.role, parts=parts),)
    above = cut(parts[0], fit.point((0.0, 0.0, item.open_below))[1])
    return (Outline(role=Role.COVER, parts=(above,)), Line(role=item.role, points=above))


def cut(part: tuple[Point, ...], floor: float) -> tuple[Point, ...]:
    """Return the part of a closed outline above `floor` (y downward), from one cut to the other."""
    kept: list[Point] = []
    start = 0
    for (x, y), (after_x, after_y) in zip(part, (*part[1:], part[0]), strict=True):
        if y <= floor:
            kept.append((x, y))
        if (y <= floor) != (after_y <= floor):
            if y > floor:
                start = len(kept)
            kept.append((x + (after_x - x) * (floor - y) / (after_y - y), floor))
    return tuple(kept[start:] + kept[:start])


def _line(stroke: Stroke, fit: Fit) -> tuple[Primitive, ...]:
    points = tuple(fit.point(point) for point in stroke.points)
    if not stroke.arrow:
        return (Line(role=stroke.role, points=points),)
    (x, y), tip = points[-2], points[-1]
    across, down = tip[0] - x, tip[1] - y
    length = math.hypot(across, down) or 1.0
    across, down = across / length, down / length
    neck = (tip[0] - 0.8 * ARROW_LENGTH * across, tip[1] - 0.8 * ARROW_LENGTH * down)
    back = (tip[0] - ARROW_LENGTH * across, tip[1] - ARROW_LENGTH * down)
    half = ARROW_WIDTH / 2
    head = (
        tip,
        (back[0] - half * down, back[1] + half * across),
        (back[0] + half * down, back[1] - half * across),
    )
    shaft = [point for point in points[:-1] if math.dist(point, tip) > ARROW_LENGTH] or [points[0]]
    return (
        Line(role=stroke.role, points=(*shaft, neck)),
        Outline(role=stroke.role, parts=(head,)),
    )


def hull_of(balls: Iterable[Ball], fit: Fit) -> tuple[Point, ...]:
    """Return the outline around balls as a closed, convex run of points."""
    around: list[Point] = []
    for ball in balls:
        x, y = fit.point(ball.at)
        radius = fit.scale * ball.radius
        steps = 1 if radius == 0 else max(10, min(36, round(radius + 6)))
        for step in range(steps):
            angle = 2 * math.pi * step / steps
            around.append((x + radius * math.cos(angle), y + radius * math.sin(angle)))
    return convex(around)


def convex(points: Iterable[Point]) -> tuple[Point, ...]:
    """Return the corners of the convex hull in one turning direction."""
    ordered = sorted(set(points))
    return (*_half(ordered)[:-1], *_half(reversed(ordered))[:-1])


def _half(points: Iterable[Point]) -> list[Point]:
    chain: list[Point] = []
    for x, y in points:
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2], chain[-1]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                break
            chain.pop()
        chain.append((x, y))
    return chain
