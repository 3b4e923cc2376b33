"""What a drawing is made of: lines, areas, markers and words, each with a role, on a sheet of its own units.

y counts downward. A role says what a thing shows and nothing about color or pen: page and paper choose those.
"""

from dataclasses import dataclass
from enum import StrEnum

from .widths import text_width

Point = tuple[float, float]

# Of the size of the type: how far letters reach above and below the line that they stand on.
ASCENT, DESCENT = 0.72, 0.22


class Role(StrEnum):
    """What a primitive shows."""

    STAGE_SHADE = "stage-shade"
    ERROR_BAND = "error-band"
    ERROR_EDGE = "error-edge"
    GRID = "grid"
    AXIS = "axis"
    TARGET = "target"
    MARK_LINE = "mark-line"
    MARK = "mark"
    UNTREATED = "untreated"
    OTHER_SIDE = "other-side"
    SLOPE = "slope"
    SERIES = "series"
    POINT = "point"
    VISIT = "visit"  # a point on the way, too small for a rim: the line must not look dashed
    SETTLED = "settled"
    WATCH = "watch"
    TOO_MUCH = "too-much"
    UNCLASSIFIED = "unclassified"
    LABEL = "label"
    VALUE = "value"
    NAME = "name"


class Shape(StrEnum):
    """What tells one marker from another without color."""

    DOT = "dot"
    RING = "ring"
    HALF = "half"  # a ring whose left half is filled
    SQUARE = "square"
    TRIANGLE = "triangle"
    UP = "up"  # a triangle that points upward
    DIAMOND = "diamond"


class Anchor(StrEnum):
    """Which end of a text stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, kw_only=True)
class Box:
    """A rectangle: where a text or a marker takes up room."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: "Box") -> bool:
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )


@dataclass(frozen=True, kw_only=True)
class Path:
    """A line through points."""

    points: tuple[Point, ...]
    role: Role


@dataclass(frozen=True, kw_only=True)
class Rect:
    x: float
    y: float
    width: float
    height: float
    role: Role


@dataclass(frozen=True, kw_only=True)
class Marker:
    """A shape around a point; `size` is half of its width."""

    at: Point
    shape: Shape
    size: float
    role: Role

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners; none where the shape is round."""
        x, y = self.at
        return tuple(
            (x + across * self.size, y + down * self.size) for across, down in CORNERS[self.shape]
        )


# fmt: off
CORNERS: dict[Shape, tuple[Point, ...]] = {
    Shape.DOT:      (),
    Shape.RING:     (),
    Shape.HALF:     (),
    Shape.SQUARE:   ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    Shape.TRIANGLE: ((-1, -1), (1, -1), (0, 1)),
    Shape.UP:       ((-1, 1), (1, 1), (0, -1)),
    Shape.DIAMOND:  ((0, -1), (1, 0), (0, 1), (-1, 0)),
}
# fmt: on


@dataclass(frozen=True, kw_only=True)
class Text:
    """Words in one line; `x` and `y` are where its anchor stands on the line of writing."""

    x: float
    y: float
    words: str
    size: float
    anchor: Anchor = Anchor.START
    role: Role = Role.LABEL

    @property
    def width(self) -> float:
        return text_width(self.words, self.size, strong=self.role in STRONG)

    @property
    def box(self) -> Box:
        back = {Anchor.START: 0.0, Anchor.MIDDLE: self.width / 2, Anchor.END: self.width}
        left = self.x - back[self.anchor]
        return Box(
            left=left,
            top=self.y - ASCENT * self.size,
            right=left + self.width,
            bottom=self.y + DESCENT * self.size,
        )


# Words in the heavier weight.
STRONG = (Role.VALUE, Role.NAME)

Primitive = Path | Rect | Marker | Text


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Primitives in the order in which they are drawn; `description` says in words what they show."""

    width: float
    height: float
    title: str
    description: str
    primitives: tuple[Primitive, ...]

    @property
    def texts(self) -> tuple[Text, ...]:
        return tuple(item for item in self.primitives if isinstance(item, Text))

    def of(self, role: Role) -> tuple[Primitive, ...]:
        return tuple(item for item in self.primitives if item.role is role)
