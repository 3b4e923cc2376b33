"""Words on a drawing: each is tried in a few places, and none is set over another or over the edge."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from .primitives import Box, Point, Text

STEP = 6.0
# How far words keep from the middle of a line.
OFF_LINE = 4.0
# Of the size of the type: how far words in one line keep from each other.
APART = 0.3


@dataclass
class Labels:
    """The words of one drawing and the room that is taken; `sheet` is what they must stay inside."""

    sheet: Box
    texts: list[Text] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)

    @classmethod
    def on(cls, width: float, height: float) -> "Labels":
        """None yet, on a sheet of this size; measured widths may be a hair too long."""
        return cls(sheet=Box(left=-0.06, top=0, right=width + 0.06, bottom=height))

    def place(self, candidates: Iterable[Text]) -> Text | None:
        """Set the first candidate that is free, or none of them."""
        for text in candidates:
            if text.words and self._is_free(text):
                self.texts.append(text)
                self.taken.append(text.box)
                return text
        return None

    def keep_clear(self, box: Box) -> None:
        self.taken.append(box)

    def keep_clear_of_line(self, points: tuple[Point, ...]) -> None:
        """Keep words off a line, by boxes along it."""
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            count = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / STEP))
            for number in range(count):
                along = (number + 0.5) / count
                self.keep_clear(around((x0 + along * (x1 - x0), y0 + along * (y1 - y0)), OFF_LINE))

    def _is_free(self, text: Text) -> bool:
        box, apart = text.box, APART * text.size
        wider = replace(box, left=box.left - apart, right=box.right + apart)
        return self.sheet.holds(box) and not any(wider.meets(other) for other in self.taken)


def around(point: Point, reach: float) -> Box:
    x, y = point
    return Box(left=x - reach, top=y - reach, right=x + reach, bottom=y + reach)
