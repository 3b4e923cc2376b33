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


class Lines:
    """Resources on their way to a file for each kind, which `opened` gives; each is written once."""

    def __init__(self, opened: Callable[[str], TextIO]) -> None:
        self.opened = opened
        self.counts: Counter[str] = Counter()
        self.files: dict[str, TextIO] = {}
        self.written: set[str] = set()
        self.patient = ""

    def write(self, kind: str, number: str, text: str) -> None:
        """Write a resource of this kind, number and text, unless it was written before."""
        if self._is_there(kind, number):
            return
        if kind not in self.files:
            self.files[kind] = self.opened(kind)
        self.files[kind].write(text + "\n")
        self.counts[kind] += 1

    def _is_there(self, kind: str, number: str) -> bool:
        """Clinic and staff are met in every case, a patient in the next one perhaps."""
        if kind == "Patient":
            met, self.patient = self.patient == number, number
            return met
        if kind not in ("Organization", "Practitioner"):
            return False
        met = number in self.written
        self.written.add(number)
        return met

    def manifest(self, *, at: datetime.datetime) -> str:
        """What there is, as text."""
        listed = [
            {"type": kind, "url": f"{kind}.ndjson", "count": count}
            for kind, count in sorted(self.counts.items())
        ]
        return json.dumps({"transactionTime": moment(at), "output": listed}, indent=1) + "\n"


def line(resource: Json) -> tuple[str, str, str]:
    """Kind, number and text of a resource; the text has no tab and is on one line."""
    return resource["resourceType"], resource["id"], json.dumps(resource, ensure_ascii=False)


class Folder:
    """The files that are being written into a folder, readable for this account alone."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lines = Lines(self._opened)
        self.stack = ExitStack()

    def __enter__(self) -> "Folder":
        self.path.mkdir(mode=0o700)
        return self

    def __exit__(self, error: type[BaseException] | None, *_where) -> None:
        self.stack.close()
        if error is not None:
            shutil.rmtree(self.path)

    def _opened(self, kind: str) -> TextIO:
        path = self.path / f"{kind}.ndjson{PART}"
        return self.stack.enter_context(path.open("x", encoding="utf-8"))

    def finish(self, *, at: datetime.datetime) -> None:
        """Give the files their names, and write last what there is."""
        self.stack.close()
        for kind in self.lines.counts:
            path = self.path / f"{kind}.ndjson"
            path.with_name(path.name + PART).rename(path)
        (self.path / "manifest.json").write_text(self.lines.manifest(at=at))


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
            case, resources = resources_of(number)
            if not resources:
                left_out += 1
            else:
                note(case, by=by)
            for resource in resources:
                folder.lines.write(*line(resource))
            told(done, len(numbers))
        folder.finish(at=began)
    return folder.lines.counts + Counter({"left out": left_out})


def resources_of(number: int) -> tuple[Case, list[Json]]:
    """A case and its resources; none where it has to stay."""
    case = Case.objects.with_people().select_related("clinic").get(pk=number)
    if refusal(case, today=timezone.localdate()):
        return case, []
    bundle = document(gather(case), source_of(case, at=timezone.now()))
    checked(bundle)
    return case, list(alone(bundle))


def note(case: Case, *, by: Staff) -> None:
    record(by, "exported", case, what="case as FHIR R4, with all others")


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
