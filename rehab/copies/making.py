"""The making of a copy: one part a step, then the file that holds them all."""

import hashlib
import tempfile

from django.utils import timezone

from clinic.audit import record
from clinic.models import Staff
from rehab.models import RecordCopy

from .files import write_archive
from .parts import made


def make_next(copy: RecordCopy, *, by: Staff) -> None:
    """Make the next part; after the last one note what the file is known by.

    Set outside a transaction, as the packs are: on SQLite one keeps everybody else from writing.
    """
    if copy.removed_at is not None:
        return
    part = copy.next_part
    if part is not None:
        part.copy = copy
        sheet, data = made(part, on=timezone.localdate(copy.made_at))
        part.keep(sheet=sheet, data=data, at=timezone.now())
    if not copy.is_ready and copy.next_part is None:
        _finish(copy, by=by)


def _finish(copy: RecordCopy, *, by: Staff) -> None:
    with tempfile.TemporaryFile() as file:
        write_archive(copy, file)
        size = file.tell()
        file.seek(0)
        mark = hashlib.file_digest(file, "sha256").hexdigest()
    if copy.finish(sha256=mark, size=size, at=timezone.now()):
        record(by, "made ready", copy, what="copy of the record", sha=mark[:12])
