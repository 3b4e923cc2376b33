"""All cases of a clinic as FHIR: a file for each kind of resource, one resource a line (NDJSON).

One case at a time is in memory. The files get their names when all is written; a run that is stopped takes
them away, and what one that was killed has left has no name that a reader would look for.
"""

import datetime
import json
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any, TextIO

from django.utils import timezone

from cases.models import Case
from clinic.audit import record
from clinic.models import Staff

from .document import checked, document
from .export import refusal
from .facts import Json, moment
from .gather import gather, source_of

PART = ".part"
# A Composition is the head of a document, and here there is none.
OF_A_DOCUMENT = "Composition"
URN = "urn:uuid:"


class Folder:
    """The files that are being written, one for each kind, readable for this account alone."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.counts: Counter[str] = Counter()
        self.files: dict[str, TextIO] = {}
        self.stack = ExitStack()
        self.written: set[str] = set()
        self.patient = ""

    def __enter__(self) -> "Folder":
        self.path.mkdir(mode=0o700)
        return self

    def __exit__(self, error: type[BaseException] | None, *_where) -> None:
        self.stack.close()
        if error is not None:
            shutil.rmtree(self.path)

    def write(self, resource: Json) -> None:
        if self._is_there(resource):
            return
        kind = resource["resourceType"]
        self._file(kind).write(json.dumps(resource, ensure_ascii=False) + "\n")
        self.counts[kind] += 1

    def _is_there(self, resource: Json) -> bool:
        """Clinic and staff are met in every case, a patient in the next one perhaps."""
        kind, number = resource["resourceType"], resource["id"]
        if kind == "Patient":
            met, self.patient = self.patient == number, number
            return met
        if kind not in ("Organization", "Practitioner"):
            return False
        met = number in self.written
        self.written.add(number)
        return met

    def _file(self, kind: str) -> TextIO:
        if kind not in self.files:
            path = self.path / f"{kind}.ndjson{PART}"
            self.files[kind] = self.stack.enter_context(path.open("x", encoding="utf-8"))
        return self.files[kind]

    def finish(self, *, at: datetime.datetime) -> None:
        """Give the files their names, and write last what there is."""
        self.stack.close()
        for kind in self.counts:
            path = self.path / f"{kind}.ndjson"
            path.with_name(path.name + PART).rename(path)
        listed = [
            {"type": kind, "url": f"{kind}.ndjson", "count": count}
            for kind, count in sorted(self.counts.items())
        ]
        told = {"transactionTime": moment(at), "output": listed}
        (self.path / "manifest.json").write_text(json.dumps(told, indent=1) + "\n")


def export_all(by: Staff, path: Path, *, told: Callable[[int, int], None]) -> Counter[str]:
    """Write each case of the clinic of `by`; return how many of each kind, and as `left out` what stays.

    `told` hears after each case how many are done, of how many. Each case that leaves is noted in the
    trail before it does. Raises OSError where the folder is there already or can't be written.
    """
    began = timezone.now()
    numbers = list(
        Case.objects.of(by.clinic).order_by("patient_id", "pk").values_list("pk", flat=True)
    )
    left_out = 0
    with Folder(path) as folder:
        for done, number in enumerate(numbers, start=1):
            case = Case.objects.with_people().select_related("clinic").get(pk=number)
            if refusal(case, today=timezone.localdate()):
                left_out += 1
            else:
                _leave(case, folder, by=by)
            told(done, len(numbers))
        folder.finish(at=began)
    return folder.counts + Counter({"left out": left_out})


def _leave(case: Case, folder: Folder, *, by: Staff) -> None:
    bundle = document(gather(case), source_of(case, at=timezone.now()))
    checked(bundle)
    record(by, "exported", case, what="case as FHIR R4, with all others")
    for resource in alone(bundle):
        folder.write(resource)


def alone(bundle: dict[str, Any]) -> Iterator[Json]:
    """The resources of a document, each naming others by kind and number, as a server does."""
    entries = [entry["resource"] for entry in bundle["entry"]]
    names = {f"{URN}{one['id']}": f"{one['resourceType']}/{one['id']}" for one in entries}
    return (_renamed(one, names) for one in entries if one["resourceType"] != OF_A_DOCUMENT)


def _renamed(part: Any, names: dict[str, str]) -> Any:
    if isinstance(part, dict):
        return {
            key: names[one] if key == "reference" else _renamed(one, names)
            for key, one in part.items()
        }
    return [_renamed(one, names) for one in part] if isinstance(part, list) else part
