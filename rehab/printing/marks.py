"""What a patient writes on: boxes to tick, a scale to circle, a line."""

from reportlab.platypus import Flowable

from .fonts import REGULAR
from .pieces import INK


class Boxes(Flowable):
    """As many boxes to tick as sets are asked, `across` in a line."""

    def __init__(self, count: int, side: float, across: int):
        super().__init__()
        self.count, self.side, self.across = count, side, across
        self.step = side * 1.3

    @property
    def lines(self) -> int:
        return -(-self.count // self.across)

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        across = min(self.count, self.across)
        return across * self.step - 0.3 * self.side, self.lines * self.step - 0.3 * self.side

    def draw(self) -> None:
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.9)
        top = (self.lines - 1) * self.step
        for box in range(self.count):
            line, place = divmod(box, self.across)
            self.canv.rect(place * self.step, top - line * self.step, self.side, self.side)


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
