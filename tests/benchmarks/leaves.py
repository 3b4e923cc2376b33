"""A printed sheet read back: every run of text with its place and type, every path with its pen."""

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace

import pdfplumber
import pypdf
from pypdf.generic import ContentStream
from reportlab.pdfgen.canvas import FILL_EVEN_ODD, FILL_NON_ZERO

from rehab.printing import fonts

Shade = tuple[float, ...]
Segment = tuple[bytes, tuple[float, ...]]
Matrix = tuple[float, float, float, float, float, float]
NAMES = {file.removesuffix(".ttf"): name for name, file in fonts.FILES.items()}
SAME = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
# What an operator that paints does: stroke, fill, by which rule (ISO 32000-1:2008, table 60).
PAINTS = {
    b"S": (1, 0, FILL_NON_ZERO),
    b"f": (0, 1, FILL_NON_ZERO),
    b"f*": (0, 1, FILL_EVEN_ODD),
    b"B": (1, 1, FILL_NON_ZERO),
    b"B*": (1, 1, FILL_EVEN_ODD),
}


@dataclass(frozen=True)
class Run:
    """Text in one type, from left to right on one line; points from the lower left of the page."""

    text: str
    font: str
    size: float
    color: Shade
    x: float
    y: float
    spacing: float = 0  # more between words, or less


@dataclass(frozen=True)
class Pen:
    """How a path is painted; widths in points."""

    stroke: Shade = (0, 0, 0)
    fill: Shade = (0, 0, 0)
    width: float = 1
    cap: int = 0
    join: int = 0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Shape:
    """A path in points from the lower left of the page, with its pen and what is done with it."""

    segments: tuple[Segment, ...]
    pen: Pen
    paint: tuple[int, int, int]


@dataclass(frozen=True)
class Leaf:
    """All that stands on one page."""

    size: tuple[float, float]
    runs: tuple[Run, ...]
    shapes: tuple[Shape, ...]


def leaves_of(data: bytes) -> tuple[Leaf, ...]:
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return tuple(
            Leaf((float(one.width), float(one.height)), tuple(runs_of(one.chars)), tuple(shapes_of(page)))
            for one, page in zip(pdf.pages, pages, strict=True)
        )  # fmt: skip


def runs_of(signs: list[dict]) -> Iterator[Run]:
    """The signs put together again to as long runs as one call can draw."""
    run, end = None, 0.0
    for sign in signs:
        one = _run(sign)
        gap = one.x - end
        if run and _goes_on(run, one, gap):
            spacing = round(gap, 3) if run.text.endswith(" ") else run.spacing
            run = replace(run, text=run.text + one.text, spacing=spacing)
        else:
            if run:
                yield run
            run = one
        end = sign["x1"]
    if run:
        yield run


def _goes_on(run: Run, one: Run, gap: float) -> bool:
    """Whether a sign follows a run in the same type; after a blank a little closer or farther."""
    same = replace(one, text=run.text, x=run.x, spacing=run.spacing) == run
    return same and abs(gap) < (2 if run.text.endswith(" ") else 0.01)


def _run(sign: dict) -> Run:
    *_turn, x, y = sign["matrix"]
    name = NAMES[sign["fontname"].split("+")[-1]]
    size, color = round(sign["size"], 3), sign["non_stroking_color"]
    return Run(sign["text"], name, size, tuple(round(part, 4) for part in color), x, round(y, 3))


def shapes_of(page: pypdf.PageObject) -> Iterator[Shape]:
    """Every path that is painted, as the operators of the page leave it."""
    matrix, pen, kept, path = SAME, Pen(), [], []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"q":
            kept.append((matrix, pen))
        elif operator == b"Q":
            matrix, pen = kept.pop()
        elif operator == b"cm":
            matrix = _times(tuple(map(float, operands)), matrix)
        elif operator in SEGMENTS:
            path.append(_segment(operator, tuple(map(float, operands)), matrix))
        elif operator in PAINTS:
            yield Shape(tuple(path), pen, PAINTS[operator])
            path = []
        elif operator == b"n":
            path = []
        elif operator in PENS:
            pen = replace(pen, **PENS[operator](operands, _scale(matrix)))


SEGMENTS = (b"m", b"l", b"c", b"h", b"re")
# What an operator leaves in the pen, of its operands and the scale in force.
PENS = {
    b"RG": lambda given, _scale: {"stroke": tuple(map(float, given))},
    b"rg": lambda given, _scale: {"fill": tuple(map(float, given))},
    b"w": lambda given, scale: {"width": float(given[0]) * scale},
    b"J": lambda given, _scale: {"cap": int(given[0])},
    b"j": lambda given, _scale: {"join": int(given[0])},
    b"d": lambda given, scale: {"dash": tuple(float(part) * scale for part in given[0])},
}


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    (g, h), (i, j) = _turned(other, a, b), _turned(other, c, d)
    return (g, h, i, j, *_moved(other, e, f))


def _turned(matrix: Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, _e, _f = matrix
    return a * x + c * y, b * x + d * y


def _moved(matrix: Matrix, x: float, y: float) -> tuple[float, float]:
    across, up = _turned(matrix, x, y)
    return across + matrix[4], up + matrix[5]


def _scale(matrix: Matrix) -> float:
    a, b, c, d, _e, _f = matrix
    return abs(a * d - b * c) ** 0.5


def _segment(operator: bytes, given: tuple[float, ...], matrix: Matrix) -> Segment:
    if operator == b"re":
        corner, sides = _moved(matrix, *given[:2]), _turned(matrix, *given[2:])
        return operator, (*corner, *sides)
    points = zip(given[::2], given[1::2], strict=True)
    return operator, tuple(part for x, y in points for part in _moved(matrix, x, y))


def operations(data: bytes) -> tuple[int, int]:
    """How many calls draw text and how many paint a path, on all pages."""
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    used = [
        operator
        for page in pages
        for _operands, operator in ContentStream(page.get_contents(), page.pdf).operations
    ]
    return used.count(b"Tj"), sum(operator in PAINTS for operator in used)
