"""A CSV file as rows of text, read from its parts without ever holding all of it.

Sources
-------
RFC 4180 for commas, quotation marks and line ends; the Unicode Standard, section 23.8, for the byte order
mark.
"""

import codecs
import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from clinic.wording import Sentence, gettext_noop, say

UTF_8, UTF_16, WINDOWS = "utf-8", "utf-16", "cp1252"
ENCODINGS = {UTF_8: "UTF-8", UTF_16: "UTF-16", WINDOWS: "Windows-1252"}
DELIMITERS = {
    ",": gettext_noop("comma"),
    ";": gettext_noop("semicolon"),
    "\t": gettext_noop("tab"),
}
# Marks of a longer unit first: FF FE alone begins UTF-16.
MARKS = ((codecs.BOM_UTF8, UTF_8), (codecs.BOM_UTF16_LE, UTF_16), (codecs.BOM_UTF16_BE, UTF_16))
LONGEST_LINE = 1_000_000  # characters; a file without line ends may not fill the memory
LONGEST_CELL = 10_000  # characters
LOOKED_AT = 50  # rows by which the separator is guessed
LINE_END = re.compile(r"\r\n|\r|\n")

Parts = Callable[[], Iterable[bytes]]

OPEN_QUOTE = gettext_noop(
    "A quotation mark is opened here and never closed. The file may be cut short."
)
ODD_QUOTE = gettext_noop(
    "A quotation mark stands in the wrong place, so the cells can't be told apart."
)
TOO_LONG = gettext_noop("A cell is too long. A quotation mark may be missing.")


@dataclass(frozen=True)
class Row:
    """One row of the file: the line on which it begins, its cells, and why it can't be read, if so."""

    line: int
    cells: tuple[str, ...]
    fault: Sentence | None = None


class _Joined(io.RawIOBase):
    """The parts of a file as one stream."""

    def __init__(self, parts: Iterable[bytes]):
        self.parts, self.left = iter(parts), memoryview(b"")

    def readable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        while not self.left:
            part = next(self.parts, None)
            if part is None:
                return 0
            self.left = memoryview(part)
        count = min(len(buffer), len(self.left))
        buffer[:count], self.left = self.left[:count], self.left[count:]
        return count


def lines(parts: Iterable[bytes], encoding: str) -> Iterator[str]:
    """Yield the lines with their ends. Raises UnicodeError at bytes that the encoding does not know."""
    name = "utf-8-sig" if encoding == UTF_8 else encoding
    stream = io.TextIOWrapper(io.BufferedReader(_Joined(parts)), encoding=name, newline="")
    yield from iter(lambda: stream.readline(LONGEST_LINE), "")


def guess_encoding(parts: Parts) -> str:
    """Return what a byte order mark says; without one UTF-8 where all of the file is, else Windows-1252."""
    start = next(iter(parts()), b"")
    for mark, encoding in MARKS:
        if start.startswith(mark):
            return encoding
    if start[:200].count(0) > len(start[:200]) // 4:
        return UTF_16
    return UTF_8 if unreadable_line(parts, UTF_8) is None else WINDOWS


def unreadable_line(parts: Parts, encoding: str) -> int | None:
    """Return the first line that can't be read in the encoding; None when all of them can."""
    line = 1
    try:
        for _line in lines(parts(), encoding):
            line += 1
    except UnicodeError as error:
        return line + _lines_before(error)
    return None


def _lines_before(error: UnicodeError) -> int:
    """How many lines end before the fault in what was decoded at once with it, and so not given out."""
    if not isinstance(error, UnicodeDecodeError):
        return 0
    return len(LINE_END.findall(error.object[: error.start].decode(error.encoding)))


def is_really_utf_8(parts: Parts) -> bool:
    """Say whether the file has letters beyond ASCII and each of them is sound UTF-8.

    Windows-1252 text almost never is by chance: a letter with an accent alone is no UTF-8.
    """
    return any(not part.isascii() for part in parts()) and unreadable_line(parts, UTF_8) is None


def guess_delimiter(parts: Parts, encoding: str) -> str:
    """Return the separator that cuts the first rows into the most columns, all rows alike where possible."""
    start = list(islice(lines(parts(), encoding), LOOKED_AT + 1))
    return max(DELIMITERS, key=lambda delimiter: _alike(start, delimiter))


def _alike(start: list[str], delimiter: str) -> tuple[int, int]:
    found = [len(row.cells) for row in _rows(start, delimiter) if not row.fault]
    width = found[0] if found else 1
    return (found.count(width), width) if width > 1 else (0, 0)


def rows(parts: Iterable[bytes], *, encoding: str, delimiter: str) -> Iterator[Row]:
    """Yield each row that holds anything, the first of them the head. Raises UnicodeError as `lines`."""
    return _rows(lines(parts, encoding), delimiter)


def _rows(source: Iterable[str], delimiter: str) -> Iterator[Row]:
    reader = csv.reader(source, delimiter=delimiter, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield Row(line, (), _fault(str(error)))
            continue
        if any(cell.strip() for cell in cells):
            yield _sound(line, cells)


def _fault(error: str) -> Sentence:
    if "unexpected end" in error:
        return say(OPEN_QUOTE)
    return say(TOO_LONG if "field larger" in error else ODD_QUOTE)


def _sound(line: int, cells: list[str]) -> Row:
    if any(len(cell) > LONGEST_CELL for cell in cells):
        return Row(line, (), say(TOO_LONG))
    if any("\0" in cell for cell in cells):
        return Row(line, (), say("A cell holds a sign that is no text. Is the encoding right?"))
    return Row(line, tuple(cells))


def too_few(row: Row, width: int) -> Sentence | None:
    """Say that a row has fewer cells than the head, which is what a file cut short ends in; else None."""
    if len(row.cells) >= width:
        return None
    return say(
        "The row has %(found)s of %(wanted)s cells. The file may be cut short here.",
        found=len(row.cells),
        wanted=width,
    )


def plain(cell: str) -> str:
    """Return the cell without blanks around it, and without the apostrophe that keeps a formula from running.

    What left as CSV from here comes back as it was; what is no formula keeps its apostrophe.
    """
    text = " ".join(cell.split()) if not cell.isascii() else cell.strip()
    return text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@") else text
