"""A square code by which a phone takes over a calendar entry from paper."""

from collections.abc import Sequence
from functools import lru_cache

import segno
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable

# ISO/IEC 18004 asks for four modules of white on each side.
QUIET = 4
# Six dots of an office printer of 300 dots per inch.
MODULE = 0.5 * mm
# What a code of 73 modules holds at level M, which restores 15% of the code after a crease or a spot
# (ISO/IEC 18004, version 14). With its white it is 40.5 mm wide: that fits the margin of a sheet.
MOST_OCTETS = 362


class ScanCode(Flowable):
    """The code with its white border, in squares of 0.5 mm; drawn as lines, so that it stays sharp."""

    def __init__(self, data: bytes, module: float = MODULE):
        super().__init__()
        self.rows, self.module = modules(data), module

    @property
    def side(self) -> float:
        return (len(self.rows) + 2 * QUIET) * self.module

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.side, self.side

    def draw(self) -> None:
        self.canv.saveState()
        self.canv.translate(0, self.side - QUIET * self.module)
        self.canv.scale(self.module, self.module)
        self.canv.setFillColor(black)
        self.canv.drawPath(squares(self.rows), stroke=0, fill=1)
        self.canv.restoreState()


class Hung(Flowable):
    """Parts that hang below their place and take no height: what stands there must leave them room."""

    def __init__(self, parts: Sequence[Flowable], width: float):
        super().__init__()
        self.parts, self.across = parts, width

    @property
    def drop(self) -> float:
        return sum(height_of(part, self.across) for part in self.parts)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.across, 0

    def draw(self) -> None:
        below = 0.0
        for part in self.parts:
            below -= height_of(part, self.across)
            part.drawOn(self.canv, 0, below)


def height_of(part: Flowable, width: float) -> float:
    return part.wrap(width, 9999)[1]


@lru_cache(maxsize=16)
def modules(data: bytes) -> tuple[bytes, ...]:
    """The rows of the code, 1 for dark; kept, since finding the mask is slow."""
    return tuple(bytes(row) for row in segno.make_qr(data, error="m", mode="byte").matrix)


@lru_cache(maxsize=16)
def squares(rows: tuple[bytes, ...]) -> PDFPathObject:
    """The dark modules below the upper left corner of the white border, in whole modules.

    One path: squares drawn one by one show hairlines between them on a screen.
    """
    return PDFPathObject(
        [
            f"{QUIET + start} {-down} {length} 1 re"
            for down, row in enumerate(rows, start=1)
            for start, length in runs(row)
        ]
    )


def runs(row: bytes) -> list[tuple[int, int]]:
    """Where the dark modules of a row begin, and how many stand together."""
    found: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if dark and found and sum(found[-1]) == place:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        elif dark:
            found.append((place, 1))
    return found
