"""Many sheets as one file, written while they are read: what is held of a sheet is where its parts lie.

A library that puts files together holds every part of all of them until the last page; here one sheet at a
time is in memory. The file is laid out as ISO 32000-1:2008 has it: 7.5 (structure), 7.7.3 (page tree),
12.2 (how a viewer should open and print it), 12.3.3 (outline), 14.4 (identifier).
"""

import datetime
import hashlib
import io
from array import array
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import BinaryIO

from pypdf import PdfReader
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NullObject,
    NumberObject,
    PdfObject,
    TextStringObject,
)

CATALOG, PAGES, OUTLINE, ABOUT = 1, 2, 3, 4
# A leaf of paper has two pages.
LEAF = 2

Numbered = Callable[[IndirectObject], IndirectObject]


@dataclass(kw_only=True)
class Entry:
    """A line of the outline: its title, the page it leads to, and the lines under it."""

    title: str
    page: int = 0
    below: list["Entry"] = field(default_factory=list)


class Joined:
    """A file of sheets, written to `target` as they are added; `end()` makes it whole.

    With `two_sided` every sheet begins on a leaf of its own: a blank page follows an odd number of pages.
    """

    def __init__(self, target: BinaryIO, *, two_sided: bool = False):
        self.target, self.two_sided = target, two_sided
        # Where each object begins, by its number, and the numbers of the pages.
        self.places = array("Q", [0] * (ABOUT + 1))
        self.pages = array("Q")
        self.patients: list[Entry] = []
        self.content = hashlib.sha256()
        # The second line tells programs that send files that this one is not text.
        target.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")

    def begin(self, title: str) -> None:
        """Let the sheets that follow stand under a line of the outline."""
        self.patients.append(Entry(title=title))

    def add(self, title: str, data: bytes) -> None:
        """Write all pages of a sheet."""
        first = len(self.pages)
        self.content.update(data)
        # Closed at once: what it has read points at itself, and would stay until Python looks for such.
        with PdfReader(io.BytesIO(data)) as reader:
            self._copy(reader)
            if self.two_sided and len(reader.pages) % LEAF:
                self._add_blank(reader.pages[-1])
        self.patients[-1].below.append(Entry(title=title, page=self.pages[first]))

    def end(self, *, title: str, author: str, on: datetime.date, language: str = "") -> None:
        """Write what names the parts. Without a `language` the file is in several."""
        top = [entry for entry in self.patients if entry.below]
        for entry in top:
            entry.page = entry.below[0].page
        self._write(PAGES, _dict(Type="/Pages", Kids=self._refs(self.pages), Count=len(self.pages)))
        self._write_outline(OUTLINE, top, Type="/Outlines")
        about = {"Title": TextStringObject(title), "Author": TextStringObject(author)}
        self._write(ABOUT, _dict(**about, CreationDate=TextStringObject(f"D:{on:%Y%m%d}")))
        self._write(CATALOG, self._catalog(language))
        self._write_places()

    def _catalog(self, language: str) -> DictionaryObject:
        shown: dict[str, object] = {"DisplayDocTitle": BooleanObject(True)}
        if self.two_sided:
            shown["Duplex"] = "/DuplexFlipLongEdge"
        spoken = {"Lang": TextStringObject(language)} if language else {}
        return _dict(
            Type="/Catalog", Pages=self._ref(PAGES), Outlines=self._ref(OUTLINE),
            PageMode="/UseOutlines", ViewerPreferences=_dict(**shown), **spoken,
        )  # fmt: skip

    def _copy(self, reader: PdfReader) -> None:
        """Write the pages and whatever they point at, each once, under new numbers."""
        tree = reader.root_object.raw_get("/Pages")
        numbers, waiting = {tree.idnum: PAGES}, deque[IndirectObject]()

        def numbered(old: IndirectObject) -> IndirectObject:
            if old.idnum not in numbers:
                numbers[old.idnum] = self._next()
                waiting.append(old)
            return self._ref(numbers[old.idnum])

        for page in reader.pages:
            numbers[page.indirect_reference.idnum] = self._next()
        for page in reader.pages:
            number = numbers[page.indirect_reference.idnum]
            self._write(number, pointing(page, numbered))
            self.pages.append(number)
        while waiting:
            old = waiting.popleft()
            self._write(numbers[old.idnum], pointing(reader.get_object(old), numbered))

    def _add_blank(self, like: DictionaryObject) -> None:
        number = self._next()
        same = {key[1:]: like[key] for key in ("/MediaBox", "/Rotate") if key in like}
        page = _dict(Type="/Page", Parent=self._ref(PAGES), Resources=_dict(), **same)
        self._write(number, page)
        self.pages.append(number)

    def _write_outline(self, number: int, entries: list[Entry], **more) -> None:
        """Write a line's page and title, and the lines under it, which are folded away at first."""
        below = [self._next() for _entry in entries]
        if below:
            count = len(below) if number == OUTLINE else -len(below)
            more |= {"First": self._ref(below[0]), "Last": self._ref(below[-1]), "Count": count}
        self._write(number, _dict(**more))
        around = zip(entries, below, [None, *below], [*below[1:], None], strict=False)
        for entry, own, before, after in around:
            steps = {"Prev": before, "Next": after, "Parent": number}
            links = {key: self._ref(other) for key, other in steps.items() if other}
            place = ArrayObject([self._ref(entry.page), NameObject("/XYZ"), *[NullObject()] * 3])
            title = TextStringObject(entry.title)
            self._write_outline(own, entry.below, Title=title, Dest=place, **links)

    def _write_places(self) -> None:
        """The table of where each object begins, twenty octets a line, and where the table begins."""
        start, size = self.target.tell(), len(self.places)
        self.target.write(b"xref\n0 %d\n0000000000 65535 f \n" % size)
        for place in self.places[1:]:
            self.target.write(b"%010d 00000 n \n" % place)
        mark = self.content.hexdigest()[:32]
        known = f"/Size {size} /Root {CATALOG} 0 R /Info {ABOUT} 0 R /ID [<{mark}> <{mark}>]"
        self.target.write(f"trailer\n<< {known} >>\nstartxref\n{start}\n%%EOF\n".encode())

    def _write(self, number: int, made: PdfObject) -> None:
        self.places[number] = self.target.tell()
        self.target.write(b"%d 0 obj\n" % number)
        made.write_to_stream(self.target)
        self.target.write(b"\nendobj\n")

    def _next(self) -> int:
        self.places.append(0)
        return len(self.places) - 1

    def _ref(self, number: int) -> IndirectObject:
        return IndirectObject(number, 0, None)

    def _refs(self, numbers: Iterable[int]) -> ArrayObject:
        return ArrayObject(map(self._ref, numbers))


def pointing(part: PdfObject, numbered: Numbered) -> PdfObject:
    """Return a part of a sheet whose references are made new, in place: the sheet is not read again."""
    if isinstance(part, IndirectObject):
        return numbered(part)
    for key, inside in _inside(part):
        part[key] = pointing(inside, numbered)
    return part


def _inside(part: PdfObject) -> Iterator[tuple]:
    match part:
        case DictionaryObject():
            yield from list(part.items())
        case ArrayObject():
            yield from enumerate(list(part))


def _dict(**entries) -> DictionaryObject:
    return DictionaryObject({NameObject(f"/{key}"): _made(value) for key, value in entries.items()})


def _made(value: object) -> PdfObject:
    """A name for a text, a number for a number; a PDF's own objects as they are."""
    match value:
        case PdfObject():
            return value
        case int():
            return NumberObject(value)
    return NameObject(value)
