"""Many cases on their way to another system: which, and the lines of each until the file was handed over."""

import datetime
import zlib
from collections.abc import Iterable, Iterator
from typing import Self

from django.db import models, transaction
from django.db.models import Count, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Case
from cases.models.restriction import restricted
from clinic.models import Clinic, ClinicOwned, ClinicQuerySet, Staff

from .record_copy import WAITS


class CaseExportQuerySet(ClinicQuerySet):
    def counted(self) -> Self:
        """With the number of cases in `total`, and of those that are done in `done`."""
        done = Count("cases", filter=Q(cases__made_at__isnull=False))
        return self.select_related("made_by", "clinic").annotate(total=Count("cases"), done=done)

    def newest_first(self) -> Self:
        return self.order_by("-pk")

    def remove_stale(self, *, now: datetime.datetime) -> None:
        """Remove the lines that nobody has fetched in time."""
        for export in self.filter(removed_at=None, made_at__lt=now - WAITS):
            export.remove(at=now)

    @transaction.atomic
    def begin(self, cases: Iterable[int], *, by: Staff, **chosen) -> "CaseExport":
        """Note which cases are asked for, in this order; none is written yet."""
        export = self.create(clinic=by.clinic, made_by=by, **chosen)
        ExportedCase.objects.bulk_create(
            ExportedCase(clinic=by.clinic, export=export, case_id=case, position=place)
            for place, case in enumerate(cases, start=1)
        )
        return export


class CaseExport(ClinicOwned):
    """All cases of a kind and time that somebody asked for at once."""

    class Which(models.TextChoices):
        ALL = "all", _("all cases")
        OPEN = "open", _("open cases")
        CLOSED = "closed", _("closed cases")

    which = models.CharField(_("which cases"), max_length=6, choices=Which, default=Which.ALL)
    since = models.DateField(_("opened from"), null=True, blank=True)
    until = models.DateField(_("opened until"), null=True, blank=True)
    made_at = models.DateTimeField(_("asked for"), default=timezone.now)
    made_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("asked for by")
    )
    removed_at = models.DateTimeField(_("file removed"), null=True, blank=True)

    objects = CaseExportQuerySet.as_manager()

    class Meta:
        verbose_name = _("export of cases")
        verbose_name_plural = _("exports of cases")

    def __str__(self) -> str:
        return f"{self.get_which_display()}, {self.made_at:%Y-%m-%d}"

    @staticmethod
    def numbers(
        clinic: Clinic,
        *,
        which: str,
        since: datetime.date | None,
        until: datetime.date | None,
    ) -> list[int]:
        """The cases that are meant, a patient's one after the other."""
        cases = Case.objects.of(clinic)
        if which != CaseExport.Which.ALL:
            cases = cases.open() if which == CaseExport.Which.OPEN else cases.closed()
        if since:
            cases = cases.filter(opened__gte=since)
        if until:
            cases = cases.filter(opened__lte=until)
        return list(cases.order_by("patient_id", "pk").values_list("pk", flat=True))

    @property
    def next_case(self) -> "ExportedCase | None":
        return self.cases.filter(made_at=None).order_by("position").first()

    @property
    def is_ready(self) -> bool:
        return not self.cases.filter(made_at=None).exists()

    @property
    def moves(self) -> bool:
        return self.removed_at is None and not self.is_ready

    @property
    def can_be_fetched(self) -> bool:
        return self.removed_at is None and self.is_ready and self.leaving().exists()

    def leaving(self) -> models.QuerySet["ExportedCase"]:
        """The cases in the file; not those whose record was restricted meanwhile."""
        today = timezone.localdate()
        rows = self.cases.exclude(lines=None).exclude(restricted("case__patient", on=today))
        return rows.order_by("position")

    def left_out(self) -> int:
        return self.cases.count() - self.leaving().count()

    @transaction.atomic
    def remove(self, *, at: datetime.datetime) -> None:
        """Keep who asked for which, not once more what is in the records anyway."""
        self.cases.all().delete()
        self.removed_at = at
        self.save(update_fields=["removed_at"])


class ExportedCase(ClinicOwned):
    """One case of an export: its lines, compressed, or none where its record is restricted."""

    belongs_to = "export"

    export = models.ForeignKey(CaseExport, on_delete=models.CASCADE, related_name="cases")
    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="+")
    position = models.PositiveIntegerField(_("position"))
    lines = models.BinaryField(_("lines"), null=True)
    made_at = models.DateTimeField(_("made"), null=True, blank=True)

    class Meta:
        verbose_name = _("case of an export")
        verbose_name_plural = _("cases of an export")
        constraints = [
            models.UniqueConstraint(name="exported_case_position", fields=["export", "position"]),
            models.UniqueConstraint(name="exported_case_once", fields=["export", "case"]),
        ]

    def __str__(self) -> str:
        return f"{self.export_id}, {self.position}"

    def keep(self, lines: list[str], *, at: datetime.datetime) -> bool:
        """Keep the case as written; False when it is there already, or the export was stopped."""
        packed = zlib.compress("\n".join(lines).encode()) if lines else None
        waiting = ExportedCase.objects.filter(pk=self.pk, made_at=None)
        return bool(waiting.update(lines=packed, made_at=at))

    def read(self) -> Iterator[str]:
        return iter(zlib.decompress(self.lines).decode().split("\n"))
