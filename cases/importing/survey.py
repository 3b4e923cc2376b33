"""What a file looks like before it is understood: its head, its first rows, the words in a column."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import islice

from cases.importing.columns import DATES, WORDS, key
from cases.importing.dates import OrderCount
from cases.importing.reading import Parts, plain, rows
from clinic.wording import Sentence, say

SHOWN = 5  # rows of the preview
MOST_WORDS = 40  # different words in a column that somebody can be asked about


@dataclass(frozen=True)
class Look:
    """The head and the first rows of a file, as they are read with an encoding and a separator."""

    head: tuple[str, ...]
    first: tuple[tuple[str, ...], ...]
    fault: Sentence | None = None

    @property
    def named(self) -> list[tuple[int, str]]:
        """The place and heading of each column; one without a heading goes by its place."""
        return [(place, text or f"({place + 1})") for place, text in enumerate(self.head)]


def look(parts: Parts, *, encoding: str, delimiter: str) -> Look:
    """Return the head and the first rows. Raises UnicodeError at bytes that the encoding does not know."""
    start = list(islice(rows(parts(), encoding=encoding, delimiter=delimiter), SHOWN + 1))
    if not start:
        return Look((), (), say("There is nothing in the file."))
    if start[0].fault:
        return Look((), (), start[0].fault)
    head = tuple(plain(cell) for cell in start[0].cells)
    if len(start) == 1:
        return Look(head, (), say("The file has one row. The first row must be the headings."))
    return Look(head, tuple(row.cells for row in start[1:]))


@dataclass
class Survey:
    """What all rows together show: how many they are, the orders of dates, the words that need a meaning."""

    total: int = 0
    orders: dict[str, OrderCount] = field(default_factory=dict)
    words: dict[str, dict[str, str]] = field(default_factory=dict)

    def add(self, code: str, text: str) -> None:
        """Take one more cell of a column into account."""
        if code in self.orders:
            self.orders[code].add(text)
        elif len(self.words[code]) <= MOST_WORDS:
            self.words[code].setdefault(key(text), text)

    def has_too_many(self, code: str) -> bool:
        """Say whether a column holds so many words that it can hardly be the one."""
        return len(self.words.get(code, ())) > MOST_WORDS


def survey(
    parts: Iterable[bytes], *, encoding: str, delimiter: str, columns: Mapping[str, int]
) -> Survey:
    """Return what the rows below the head show. Raises UnicodeError as `rows`."""
    found = Survey(
        orders={code: OrderCount() for code in DATES if code in columns},
        words={code: {} for code in WORDS if code in columns},
    )
    places = [(code, columns[code]) for code in (*found.orders, *found.words)]
    for row in islice(rows(parts, encoding=encoding, delimiter=delimiter), 1, None):
        found.total += 1
        for code, place in places:
            text = plain(row.cells[place]) if place < len(row.cells) else ""
            if text:
                found.add(code, text)
    return found
