"""What a patient writes on: boxes to tick, a scale to circle, a line."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from .fonts import REGULAR
from .pieces import INK, SOFT


class Boxes(Flowable):
    """As many boxes to tick as sets are asked, `across` in a line."""

    apart = 0.3  # of a side

    def __init__(self, count: int, side: float, across: int):
        super().__init__()
        self.count, self.side, self.across = count, side, across
        self.gap = side * self.apart
        self.step = side + self.gap

    @property
    def lines(self) -> int:
        return -(-self.count // self.across)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        across = min(self.count, self.across)
        return across * self.step - self.gap, self.lines * self.step - self.gap

    def draw(self) -> None:
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.9)
        top = (self.lines - 1) * self.step
        for box in range(self.count):
            line, place = divmod(box, self.across)
            self.box(box, place * self.step, top - line * self.step)

    def box(self, _which: int, x: float, y: float) -> None:
        self.canv.rect(x, y, self.side, self.side)


class Numbered(Boxes):
    """A box to tick for each number, with the number in it, in type of `size` points."""

    apart = 0.15

    def __init__(self, numbers: Sequence[int], side: float, across: int, size: float):
        super().__init__(len(numbers), side, across)
        self.numbers, self.size = numbers, size

    def box(self, which: int, x: float, y: float) -> None:
        super().box(which, x, y)
        self.canv.setFillColor(SOFT)
        self.canv.setFont(REGULAR, self.size)
        middle, foot = x + self.side / 2, y + self.side / 2 - 0.33 * self.size
        self.canv.drawCentredString(middle, foot, str(self.numbers[which]))


class Scale(Flowable):
    """The figures 0 to 10 in a row, with room to circle one."""

    def __init__(self, width: float, size: float):
        super().__init__()
        self.across, self.size = width, size

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.across, self.size

    def draw(self) -> None:
        self.canv.setFillColor(INK)
        self.canv.setFont(REGULAR, self.size)
        for value in range(11):
            self.canv.drawCentredString(
                (value + 0.5) * self.across / 11, self.size * 0.16, str(value)
            )


class Blank(Flowable):
    """A line to write on."""

    def __init__(self, across: float):
        super().__init__()
        self.across = across

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.across, 18

    def draw(self) -> None:
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.9)
        self.canv.line(0, 0, self.across, 0)
