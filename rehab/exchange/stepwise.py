"""An export of cases from the page: one case a step, then the file that holds them all.

What is written stands in the database until the file was handed over, so that any web process takes the next
step. One case at a time is in memory, and the file is written to a disk where it has no name.
"""

import io
import tempfile
import zipfile
from contextlib import ExitStack
from typing import BinaryIO, TextIO

from django.db import transaction
from django.utils import timezone

from clinic.models import Staff
from rehab.models import CaseExport, ExportedCase

from .bulk import Lines, line, note, resources_of

BLOCK = 64 * 1024


def write_next(export: CaseExport, *, by: Staff) -> None:
    """Write the next case."""
    if one := export.next_case:
        write_one(one, by=by)


def write_one(one: ExportedCase, *, by: Staff) -> None:
    """Write a case, unless another was faster or all was stopped: then nothing of it is noted either.

    It is gathered outside of the transaction: on SQLite one keeps everybody else from writing.
    """
    case, resources = resources_of(one.case_id)
    lines = ["\t".join(line(found)) for found in resources]
    with transaction.atomic():
        if one.keep(lines, at=timezone.now()) and lines:
            note(case, by=by)


def file_name(export: CaseExport) -> str:
    return f"cases-{timezone.localdate(export.made_at):%Y-%m-%d}.zip"


def write_archive(export: CaseExport, target: BinaryIO) -> None:
    """A ZIP archive of the files that `export_cases` writes into a folder."""
    with ExitStack() as stack, _archive(target) as archive:
        lines = Lines(lambda _kind: stack.enter_context(_nameless()))
        for one in export.leaving().iterator(chunk_size=1):
            for text in one.read():
                lines.write(*text.split("\t", 2))
        for kind, file in sorted(lines.files.items()):
            _add(archive, f"{kind}.ndjson", file)
        _add(archive, "manifest.json", io.StringIO(lines.manifest(at=export.made_at)))


def _archive(target: BinaryIO) -> zipfile.ZipFile:
    """Packed fast rather than small: somebody waits for it."""
    return zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=1)


def _nameless() -> TextIO:
    return tempfile.TemporaryFile("w+", encoding="utf-8", newline="\n")


def _add(archive: zipfile.ZipFile, name: str, file: TextIO) -> None:
    file.seek(0)
    with archive.open(name, "w", force_zip64=True) as member:
        for block in iter(lambda: file.read(BLOCK), ""):
            member.write(block.encode())
