"""Copies of a patient's whole record: for whom, why, and the parts of one while it is being made."""

import datetime
from typing import Self

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Patient
from clinic.constraints import Sealed
from clinic.models import ClinicOwned, ClinicQuerySet, Staff

# How long a copy waits to be fetched: a day at the desk and the next morning. Our own choice, no source.
WAITS = datetime.timedelta(hours=36)


class RecordCopyQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        return self.filter(patient=patient).select_related("made_by").order_by("-pk")

    def with_people(self) -> Self:
        return self.select_related("patient", "made_by", "clinic")

    def remove_stale(self, *, now: datetime.datetime) -> None:
        """Remove the parts of copies that nobody has fetched in time."""
        for copy in self.filter(removed_at=None, made_at__lt=now - WAITS):
            copy.remove_parts(at=now)

    @transaction.atomic
    def begin(
        self,
        patient: Patient,
        planned: list[tuple[str, list[int]]],
        *,
        receiver: str,
        to_whom: str,
        why: str,
        by: Staff,
    ) -> "RecordCopy":
        """Note for whom a copy is, and its parts in their order; none is made yet."""
        copy = self.create(patient=patient, receiver=receiver, to_whom=to_whom, why=why, made_by=by)
        CopyPart.objects.bulk_create(
            CopyPart(clinic=copy.clinic, copy=copy, position=place, kind=kind, about=about)
            for place, (kind, about) in enumerate(planned, start=1)
        )
        return copy


class RecordCopy(ClinicOwned):
    """Everything held about a patient, given to somebody: an entry in the account of disclosures."""

    belongs_to = "patient"

    class Receiver(models.TextChoices):
        PATIENT = "patient", _("the patient")
        ACTS_FOR = "acts for", _("somebody who acts for the patient")
        CLINICIAN = "clinician", _("another clinician")
        PAYER = "payer", _("an insurer or another payer")
        AUTHORITY = "authority", _("a court or an authority")

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="record_copies")
    made_at = models.DateTimeField(_("asked for"), default=timezone.now)
    made_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("made by")
    )
    receiver = models.CharField(_("for"), max_length=10, choices=Receiver)
    to_whom = models.CharField(_("name and address"), max_length=200, blank=True)
    why = models.CharField(_("why"), max_length=300)
    ready_at = models.DateTimeField(_("ready"), null=True, blank=True)
    sha256 = models.CharField(_("SHA-256"), max_length=64, blank=True)
    size = models.PositiveBigIntegerField(_("size in bytes"), null=True, blank=True)
    removed_at = models.DateTimeField(_("file removed"), null=True, blank=True)

    objects = RecordCopyQuerySet.as_manager()

    class Meta:
        verbose_name = _("copy of the record")
        verbose_name_plural = _("copies of the record")
        indexes = [models.Index(name="record_copy_of_patient", fields=["patient", "-id"])]
        constraints = [
            models.CheckConstraint(
                name="record_copy_names_a_stranger",
                condition=models.Q(receiver="patient") | ~models.Q(to_whom=""),
                violation_error_message=_("Write who gets it, with the address."),
            ),
            Sealed(
                name="record_copy_ready_stays",
                by="ready_at",
                may_change=("removed_at",),
                erased_with="patient",
            ),
        ]

    def __str__(self) -> str:
        return f"Copy of {self.patient}, {self.made_at:%Y-%m-%d}"

    @property
    def next_part(self) -> "CopyPart | None":
        return self.parts.filter(made_at=None).order_by("position").first()

    @property
    def total(self) -> int:
        return self.parts.count()

    @property
    def done(self) -> int:
        return self.parts.exclude(made_at=None).count()

    @property
    def is_ready(self) -> bool:
        return self.ready_at is not None

    @property
    def can_be_fetched(self) -> bool:
        return self.is_ready and self.removed_at is None

    def parts_in_order(self) -> models.QuerySet["CopyPart"]:
        return self.parts.defer("sheet", "data").order_by("position")

    def finish(self, *, sha256: str, size: int, at: datetime.datetime) -> bool:
        """Note what the file is known by; False when somebody else has done so meanwhile."""
        waiting = RecordCopy.objects.filter(pk=self.pk, ready_at=None, removed_at=None)
        return bool(waiting.update(sha256=sha256, size=size, ready_at=at))

    @transaction.atomic
    def remove_parts(self, *, at: datetime.datetime) -> None:
        """Keep for whom and why, not once more what is in the record anyway."""
        self.parts.all().delete()
        self.removed_at = at
        self.save(update_fields=["removed_at"])


class CopyPart(ClinicOwned):
    """One part of a copy: as a sheet and as data, until the copy has been fetched."""

    belongs_to = "copy"

    class Kind(models.TextChoices):
        PERSON = "person", _("the person and the appointments")
        CASE = "case", _("a case")
        VISITS = "visits", _("visits")
        PROGRAMS = "programs", _("programs and diary")
        PAPERS = "papers", _("what was handed out")
        PACKS = "packs", _("packs of sheets")
        TRAIL = "trail", _("who has looked and changed")
        CHANGES = "changes", _("what it said before")

    copy = models.ForeignKey(RecordCopy, on_delete=models.CASCADE, related_name="parts")
    position = models.PositiveSmallIntegerField(_("position"))
    kind = models.CharField(_("what is in it"), max_length=8, choices=Kind)
    about = models.JSONField(_("numbers of the rows"), default=list)
    sheet = models.BinaryField(_("sheet"), null=True)
    data = models.TextField(_("data"), blank=True)
    made_at = models.DateTimeField(_("made"), null=True, blank=True)

    class Meta:
        verbose_name = _("part of a copy")
        verbose_name_plural = _("parts of copies")
        constraints = [
            models.UniqueConstraint(name="copy_part_position_once", fields=["copy", "position"])
        ]

    def __str__(self) -> str:
        return f"{self.copy_id}, {self.position}"

    def keep(self, *, sheet: bytes, data: str, at: datetime.datetime) -> bool:
        """Keep the part as made; False when somebody else has made it meanwhile."""
        waiting = CopyPart.objects.filter(pk=self.pk, made_at=None)
        return bool(waiting.update(sheet=sheet, data=data, made_at=at))
