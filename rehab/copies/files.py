"""The copy as one ZIP archive: the record to read, the record as data, and each sheet as it was given.

One part or sheet at a time is in memory, and the same copy is the same file whenever it is fetched.
"""

import json
import tempfile
import zipfile
from collections.abc import Iterator
from typing import BinaryIO

from django.utils import timezone
from django.utils.translation import gettext as _

from rehab.models import CopyPart, Handout, RecordCopy
from rehab.models.handout import Altered
from rehab.printing.joined import Joined

from .as_data import LAYOUT, VERSION, described

BLOCK = 64 * 1024


def write_archive(copy: RecordCopy, target: BinaryIO) -> None:
    with zipfile.ZipFile(target, "w") as archive:
        _add(archive, copy, "record.pdf", _joined(copy))
        _add(archive, copy, "record.json", _data(copy))
        _add(archive, copy, "layout.txt", iter([described().encode()]))
        for handout in _sheets(copy):
            _add(archive, copy, *_kept(handout))


def file_name(copy: RecordCopy) -> str:
    """By number and day: a name in a file name leaves the building with it."""
    return f"record-{copy.patient.record}-{timezone.localdate(copy.made_at):%Y-%m-%d}.zip"


def _add(archive: zipfile.ZipFile, copy: RecordCopy, name: str, content: Iterator[bytes]) -> None:
    entry = zipfile.ZipInfo(name, date_time=timezone.localtime(copy.made_at).timetuple()[:6])
    entry.compress_type = zipfile.ZIP_DEFLATED
    with archive.open(entry, "w", force_zip64=True) as file:
        for block in content:
            file.write(block)


def _parts(copy: RecordCopy, column: str) -> Iterator:
    """One column of each part, read one by one."""
    return copy.parts.order_by("position").values_list(column, flat=True).iterator(chunk_size=1)


def _joined(copy: RecordCopy) -> Iterator[bytes]:
    with tempfile.TemporaryFile() as file:
        joined = Joined(file)
        for place, sheet in enumerate(_parts(copy, "sheet"), start=1):
            joined.begin(_("Part %(n)s") % {"n": place})
            joined.add(_("Part %(n)s") % {"n": place}, bytes(sheet))
        title = _("Copy of the record %(record)s") % {"record": copy.patient.record}
        on = timezone.localdate(copy.made_at)
        joined.end(title=title, author=copy.clinic.name, on=on, language="en")
        file.seek(0)
        yield from iter(lambda: file.read(BLOCK), b"")


def _data(copy: RecordCopy) -> Iterator[bytes]:
    head = {
        "layout": LAYOUT,
        "version": VERSION,
        "clinic": copy.clinic.name,
        "patient": copy.patient.record,
        "made_at": copy.made_at.isoformat(),
    }
    yield json.dumps(head, ensure_ascii=False)[:-1].encode() + b', "parts": ['
    for place, text in enumerate(_parts(copy, "data")):
        yield (b",\n" if place else b"\n") + text.encode()
    yield b"\n]}\n"


def _sheets(copy: RecordCopy) -> Iterator[Handout]:
    """The sheets that the parts list, each read by itself; in the order of the keys, so nothing is sorted."""
    listed = copy.parts.filter(kind=CopyPart.Kind.PAPERS).values_list("about", flat=True)
    numbers = [number for about in listed for number in about]
    sheets = Handout.objects.filter(pk__in=numbers).with_bytes().order_by("pk")
    return sheets.iterator(chunk_size=1)


def _kept(handout: Handout) -> tuple[str, Iterator[bytes]]:
    """A sheet under its number; in place of one that was altered, a line that says so."""
    day = timezone.localdate(handout.printed_at)
    name = f"sheets/{handout.pk}-{day:%Y-%m-%d}-{handout.name}"
    try:
        return name, iter([handout.as_it_was()])
    except Altered:
        told = _("The stored bytes of %(name)s are not those that were handed out.")
        return f"{name}.txt", iter([(told % {"name": handout.name}).encode()])
