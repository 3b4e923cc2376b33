"""A copy made from end to end, and what stands in it."""

import io
import json
import re
import zipfile
from collections import defaultdict

from pypdf import PdfReader

from rehab.copies.files import write_archive
from rehab.copies.making import make_next
from rehab.copies.parts import planned
from rehab.models import RecordCopy


def begin_copy(patient, *, by, **fields) -> RecordCopy:
    asked = {"receiver": "patient", "to_whom": "", "why": "Asked for by letter."} | fields
    return RecordCopy.objects.begin(patient, planned(patient), by=by, **asked)


def make_copy(patient, *, by, **fields) -> RecordCopy:
    copy = begin_copy(patient, by=by, **fields)
    while not RecordCopy.objects.get(pk=copy.pk).is_ready:
        make_next(RecordCopy.objects.get(pk=copy.pk), by=by)
    return RecordCopy.objects.get(pk=copy.pk)


def archive_of(copy: RecordCopy) -> zipfile.ZipFile:
    file = io.BytesIO()
    write_archive(copy, file)
    return zipfile.ZipFile(file)


def data_of(archive: zipfile.ZipFile) -> dict:
    return json.loads(archive.read("record.json"))


def paper_of(archive: zipfile.ZipFile) -> str:
    """All that the pages say, without the places where their lines break."""
    pages = PdfReader(io.BytesIO(archive.read("record.pdf"))).pages
    return unbroken("".join(page.extract_text() for page in pages))


def unbroken(text: str) -> str:
    return re.sub(r"[\s\u00a0\u00ad]", "", text)


def rows_in(data: dict) -> dict[str, dict[int, dict]]:
    """Every row of the data by its table's name and its number, wherever it hangs."""
    found: dict[str, dict[int, dict]] = defaultdict(dict)
    for part in data["parts"]:
        if part["kind"] in TOP:
            for row in part["rows"]:
                _collect(TOP[part["kind"]], row, found)
    return found


TOP = {
    "person": "patient", "case": "case", "visits": "visit", "programs": "program",
    "papers": "handout", "packs": "pack",
}  # fmt: skip


def _collect(name: str, row: dict, found: dict) -> None:
    found[name][row["id"]] = row
    for column, value in row.items():
        if isinstance(value, list) and value and isinstance(value[0], dict) and "id" in value[0]:
            for inner in value:
                _collect(column, inner, found)
