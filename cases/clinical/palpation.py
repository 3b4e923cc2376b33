"""The named points that are pressed on the outside of the elbow, and what they say beside the tests.

The points are landmarks from memory. Pressing is compared with the other side; how much one presses
differs between examiners: even the measured pressure pain threshold was unsatisfactory between two of
them, ICC 0.77 (Smidt et al. 2002 Arch Phys Med Rehabil 83:1145–50, doi 10.1053/apmr.2002.33728).
"""

from dataclasses import dataclass

from cases.clinical.findings import HIGH, LOW
from cases.clinical.sides import Side
from clinic.evidence import Figure, Status
from clinic.wording import Sentence, gettext_noop, say


@dataclass(frozen=True, kw_only=True)
class Point:
    """One point; `at` is its place on the drawing."""

    code: str
    name: str
    structure: str
    at: tuple[int, int]
    needs_examiner: bool = True
    is_origin: bool = False


# The drawing shows a right elbow from the outside, bent to 90 degrees, hand to the right.
DRAWN_WIDTH, DRAWN_HEIGHT = 400, 220

# fmt: off
POINTS = (
    Point(code="ridge", name=gettext_noop("supracondylar ridge"),
          structure=gettext_noop("long wrist extensor (ECRL)"), at=(152, 70)),
    Point(code="epicondyle", name=gettext_noop("lateral epicondyle"),
          structure=gettext_noop("common extensor origin"), at=(156, 122),
          needs_examiner=False, is_origin=True),
    Point(code="distal-anterior", name=gettext_noop("1 cm distal and anterior"),
          structure=gettext_noop("short wrist extensor (ECRB)"), at=(186, 108),
          is_origin=True),
    Point(code="radial-head", name=gettext_noop("radial head line"),
          structure=gettext_noop("joint between upper arm and radius"), at=(204, 142)),
    Point(code="below", name=gettext_noop("3–5 cm distal"),
          structure=gettext_noop("radial nerve in the forearm (radial tunnel)"), at=(262, 134),
          needs_examiner=False),
)
# fmt: on
POINT = {point.code: point for point in POINTS}

PRESSURE_AGREEMENT = Figure(
    value=0.77,
    unit=gettext_noop("ICC between two examiners"),
    source="Smidt et al. 2002 Arch Phys Med Rehabil 83:1145–50, doi 10.1053/apmr.2002.33728, n = 50",
    status=Status.PUBLISHED,
    limits="pressure pain threshold, measured; unsatisfactory: the smallest detectable difference is "
    "over 10 % of the range",
)


@dataclass(frozen=True, kw_only=True)
class Pressed:
    """How much one point of one side hurt when it was pressed, 0–10; ValueError when it can't be."""

    point: str
    side: Side
    pain: int

    def __post_init__(self) -> None:
        if self.point not in POINT:
            raise ValueError(f"there is no point {self.point!r}")
        if not LOW <= self.pain <= HIGH:
            raise ValueError(f"pain {self.pain} is not from {LOW} to {HIGH}")

    @property
    def spot(self) -> tuple[str, Side]:
        """Point and side: each is pressed once in a round."""
        return self.point, self.side


Points = tuple[Pressed, ...]


def tender(points: Points, side: Side) -> dict[str, int]:
    """Return the pain, 1–10, of the points of one side that hurt more there than on the other side.

    A point that was not pressed on the other side counts with what it gave. Raises ValueError when
    a point of one side was pressed twice.
    """
    pain = {pressed.spot: pressed.pain for pressed in points}
    if len(pain) != len(points):
        raise ValueError("one point of one side has two ratings")
    here = {point.code: pain.get((point.code, side), 0) for point in POINTS}
    return {code: p for code, p in here.items() if p > pain.get((code, side.other), 0)}


def most_tender(points: Points, side: Side) -> tuple[Point, ...]:
    """Return the points of `side` that hurt most, more than one when they hurt alike.

    Raises ValueError as `tender` does.
    """
    found = tender(points, side)
    return tuple(POINT[code] for code, pain in found.items() if pain == max(found.values()))


_PRESSED = gettext_noop("%(point)s: %(here)s of 10, other side %(there)s.")
_PRESSED_HERE_ONLY = gettext_noop("%(point)s: %(here)s of 10, other side not pressed.")


def in_words(points: Points, side: Side) -> tuple[Sentence, ...]:
    """Return one sentence for each point that hurts more on `side`, beside the other side."""
    there = {pressed.point: pressed.pain for pressed in points if pressed.side is side.other}
    return tuple(
        say(_PRESSED, point=POINT[code].name, here=pain, there=there[code])
        if code in there
        else say(_PRESSED_HERE_ONLY, point=POINT[code].name, here=pain)
        for code, pain in tender(points, side).items()
    )
