"""What is brought in from a file: the file, how it is understood, and what becomes of each row.

All of it stands in the database, so that any web process takes the next step of it, and one that was broken
off goes on where it stopped. The file and the cells of rows that were brought in are removed at the end.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Self

from django.db import models, transaction
from django.db.models import Count, Q
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from cases.importing.columns import APPOINTMENTS, COLUMNS, PATIENTS
from cases.models.appointment import Appointment
from cases.models.appointment_query import TimesQuerySet
from cases.models.patient import Patient
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from clinic.wording import Sentence, gettext_noop, say

PART = 256 * 1024  # bytes


class BroughtInAlready(Exception):
    """The clinic has brought in this very file; `run` says when."""

    def __init__(self, run: "Import"):
        self.run = run


class ImportQuerySet(ClinicQuerySet):
    def of_file(self, kind: str, sha256: str) -> Self:
        return self.filter(kind=kind, sha256=sha256)

    def kept(self) -> Self:
        """Those whose rows are, or are just becoming, part of the records."""
        return self.filter(state__in=Import.KEPT)

    def newest_first(self) -> Self:
        return self.select_related("made_by").order_by("-pk")

    @transaction.atomic
    def receive(self, chunks: Iterable[bytes], *, kind: str, name: str, by: Staff) -> "Import":
        """Keep a file as it came. Raises BroughtInAlready when its rows are here already."""
        run = self.create(clinic=by.clinic, kind=kind, file_name=name[:120], made_by=by)
        digest = hashlib.sha256()
        for number, content in enumerate(_cut(chunks)):
            digest.update(content)
            run.size += len(content)
            ImportPart.objects.create(clinic=by.clinic, run=run, number=number, content=content)
        run.sha256 = digest.hexdigest()
        run.refuse_a_second_time()
        run.save()
        return run


def _cut(chunks: Iterable[bytes]) -> Iterator[bytes]:
    held = b""
    for chunk in chunks:
        held += chunk
        while len(held) >= PART:
            yield held[:PART]
            held = held[PART:]
    if held:
        yield held


class Import(ClinicOwned):
    """One file of patients or appointments that somebody wants to bring in."""

    class Kind(models.TextChoices):
        PATIENTS = PATIENTS, _("patients")
        APPOINTMENTS = APPOINTMENTS, _("appointments to come")

    class State(models.TextChoices):
        OPEN = "open", _("columns to be named")
        CHECKING = "checking", _("being checked")
        CHECKED = "checked", _("checked")
        WRITING = "writing", _("being brought in")
        DONE = "done", _("brought in")
        UNDOING = "undoing", _("being taken back")
        UNDONE = "undone", _("taken back")
        CANCELLED = "cancelled", _("stopped")

    KEPT = (State.WRITING, State.DONE)
    MOVES = (State.CHECKING, State.WRITING, State.UNDOING)
    OVER = (State.DONE, State.UNDONE, State.CANCELLED)

    kind = models.CharField(_("what is in it"), max_length=12, choices=Kind)
    file_name = models.CharField(_("file"), max_length=120)
    sha256 = models.CharField(max_length=64, editable=False)
    size = models.PositiveIntegerField(_("bytes"), default=0)
    made_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("by")
    )
    made_at = models.DateTimeField(_("uploaded"), default=timezone.now)
    encoding = models.CharField(_("encoding"), max_length=10)
    delimiter = models.CharField(_("separator"), max_length=1)
    head = models.JSONField(_("headings"), default=list)
    columns = models.JSONField(_("columns"), default=dict, help_text=_("Place by what it says."))
    orders = models.JSONField(_("order of dates"), default=dict)
    meanings = models.JSONField(_("meaning of words"), default=dict)
    total = models.PositiveIntegerField(_("rows"), default=0)
    checked = models.PositiveIntegerField(_("rows checked"), default=0)
    all_or_nothing = models.BooleanField(_("all or nothing"), default=True)
    state = models.CharField(_("state"), max_length=10, choices=State, default=State.OPEN)
    finished_at = models.DateTimeField(_("finished"), null=True, blank=True)

    objects = ImportQuerySet.as_manager()

    class Meta:
        verbose_name = _("import")
        verbose_name_plural = _("imports")
        indexes = [models.Index(name="import_by_clinic", fields=["clinic", "-id"])]
        constraints = [
            models.UniqueConstraint(
                name="import_file_once",
                fields=["clinic", "kind", "sha256"],
                condition=Q(state__in=["writing", "done"]),
                violation_error_message=_("This file has been brought in already."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.file_name}, {self.made_at:%Y-%m-%d}"

    def refuse_a_second_time(self) -> None:
        """Raise BroughtInAlready when another run holds the rows of this file."""
        same = Import.objects.of(self.clinic_id).of_file(self.kind, self.sha256).kept()
        if other := same.exclude(pk=self.pk).first():
            raise BroughtInAlready(other)

    def parts(self) -> Iterator[bytes]:
        """The file, part by part: one is in memory at a time."""
        contents = self.file_parts.order_by("number").values_list("content", flat=True)
        return (bytes(content) for content in contents.iterator(chunk_size=1))

    @property
    def is_of_patients(self) -> bool:
        return self.kind == self.Kind.PATIENTS

    @property
    def moves(self) -> bool:
        """Whether the next step is to be taken now."""
        return self.state in self.MOVES

    @property
    def is_over(self) -> bool:
        return self.state in self.OVER

    @cached_property
    def counts(self) -> Counter:
        """How many rows are in each state."""
        found = self.rows.order_by().values_list("state").annotate(Count("pk"))
        return Counter(dict(found))

    @property
    def to_do(self) -> int:
        """How many rows the work at hand is about."""
        if self.state == self.State.CHECKING:
            return self.total
        return self.counts["good"] + self.counts["brought"]

    @property
    def done(self) -> int:
        """How many of them are done."""
        return self.checked if self.state == self.State.CHECKING else self.counts["brought"]

    @property
    def progress(self) -> Sentence:
        told = {
            self.State.CHECKING: gettext_noop("%(done)s of %(all)s rows are checked"),
            self.State.WRITING: gettext_noop("%(done)s of %(all)s rows are in"),
            self.State.UNDOING: gettext_noop("%(done)s of %(all)s rows are still in"),
        }
        return say(told[self.state], done=self.done, all=self.to_do)

    @property
    def named(self) -> list:
        """The columns that the file has, in the order of the pages."""
        return [column for column in COLUMNS[self.kind] if column.code in self.columns]

    def understand(self, **how) -> None:
        """Note how the file is to be read, and begin to check it so; what was checked before is forgotten."""
        self.rows.all().delete()
        for name, value in how.items():
            setattr(self, name, value)
        self.checked, self.state = 0, self.State.CHECKING
        self.save()

    def finish(self, state: "Import.State") -> None:
        """End in this state, without the file and without the cells of what is in the records now."""
        self.state, self.finished_at = state, timezone.now()
        self.file_parts.all().delete()
        self.rows.filter(state=ImportRow.State.BROUGHT).update(cells={}, name="")
        if state == self.State.CANCELLED:
            self.rows.exclude(state=ImportRow.State.BROUGHT).delete()
        self.save()


class ImportPart(ClinicOwned):
    """A piece of a file that waits to be brought in."""

    belongs_to = "run"

    run = models.ForeignKey(Import, on_delete=models.CASCADE, related_name="file_parts")
    number = models.PositiveIntegerField(_("number"))
    content = models.BinaryField(_("content"))

    class Meta:
        verbose_name = _("part of a file")
        verbose_name_plural = _("parts of files")
        constraints = [models.UniqueConstraint(name="import_part_once", fields=["run", "number"])]

    def __str__(self) -> str:
        return f"{self.run_id}, {self.number}"


class ImportRowQuerySet(TimesQuerySet):
    def in_order(self) -> Self:
        return self.order_by("line")

    def good(self) -> Self:
        return self.filter(state=ImportRow.State.GOOD)

    def wrong(self) -> Self:
        return self.filter(state=ImportRow.State.WRONG)

    def on_record(self) -> Self:
        return self.filter(state=ImportRow.State.KNOWN)

    def brought(self) -> Self:
        return self.filter(state=ImportRow.State.BROUGHT)

    def that_stay(self) -> Self:
        return self.filter(state=ImportRow.State.STAYS)

    def left_out(self) -> Self:
        return self.filter(state__in=[ImportRow.State.WRONG, ImportRow.State.KNOWN])

    def of_patients(self, patients: Iterable[Patient]) -> Self:
        return self.filter(patient__in=patients)

    def around(self, wanted: Iterable["ImportRow"]) -> Self:
        return super().around(wanted).defer("cells", "problems")

    def keep_found(self, rows: list["ImportRow"]) -> None:
        """Write what has become of the rows; one statement, as `bulk_update` compares each row with each."""
        self.bulk_create(
            rows, update_conflicts=True, unique_fields=["pk"], update_fields=ImportRow.FOUND
        )

    def numbered(self, numbers: Iterable[str]) -> Self:
        """Rows of patients who are on record, by their number in the file they came with."""
        return self.filter(
            own_number__in=numbers, patient__isnull=False, run__kind=PATIENTS
        ).exclude(run__state=Import.State.UNDOING)


class ImportRow(ClinicOwned):
    """One row of a file: what it says, what is wrong with it, and what it has become."""

    belongs_to = "run"

    class State(models.TextChoices):
        GOOD = "good", _("can be brought in")
        WRONG = "wrong", _("has an error")
        KNOWN = "known", _("there already")
        BROUGHT = "brought", _("brought in")
        STAYS = "stays", _("used meanwhile, so not taken back")

    FOUND = ("state", "problems", "patient", "appointment")  # what a step may change

    run = models.ForeignKey(Import, on_delete=models.CASCADE, related_name="rows")
    line = models.PositiveIntegerField(_("line"))
    state = models.CharField(_("state"), max_length=8, choices=State)
    anyway = models.BooleanField(_("bring in anyway"), default=False)
    cells = models.JSONField(_("cells"), default=dict)
    problems = models.JSONField(_("what is wrong"), default=list)
    own_number = models.CharField(_("number in the file"), max_length=80, blank=True)
    name = models.CharField(max_length=170, blank=True, help_text=_("For comparing."))
    born = models.DateField(_("born"), null=True)
    starts_at = models.DateTimeField(_("starts"), null=True)
    ends_at = models.DateTimeField(_("ends"), null=True)
    practitioner = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(
        Patient, null=True, on_delete=models.PROTECT, related_name="came_with"
    )
    appointment = models.ForeignKey(
        Appointment, null=True, on_delete=models.PROTECT, related_name="came_with"
    )

    objects = ImportRowQuerySet.as_manager()

    class Meta:
        verbose_name = _("row of an import")
        verbose_name_plural = _("rows of imports")
        indexes = [
            models.Index(name="import_row_in_state", fields=["run", "state", "line"]),
            models.Index(name="import_row_by_number", fields=["clinic", "own_number"]),
            models.Index(name="import_row_by_birth", fields=["run", "born"]),
            models.Index(name="import_row_by_time", fields=["run", "starts_at"]),
        ]
        constraints = [models.UniqueConstraint(name="import_row_once", fields=["run", "line"])]

    def __str__(self) -> str:
        return f"{self.run_id}, line {self.line}"

    @property
    def who(self) -> str:
        """Whose row it is, as the file says it."""
        names = (self.cells.get(code, "") for code in ("given_name", "family_name"))
        return " ".join(name for name in names if name) or self.own_number

    def refuse(self, state: "ImportRow.State", code: str, why: object) -> None:
        """Leave the row out, with the sentence that says why."""
        self.state = state
        self.problems.append({"column": code, "why": str(why)})
