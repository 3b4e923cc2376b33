"""What remains of a record that was erased: when it went, by whom and why, and nothing of what it held."""

import datetime
from collections.abc import Iterable

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed
from clinic.models.clinic import ClinicOwned, ClinicQuerySet
from clinic.models.staff import Staff

# A row that never is: what points there can't be committed.
NOWHERE = -1


def as_printed(record_number: int) -> str:
    return f"{record_number:04d}"


class ErasureQuerySet(ClinicQuerySet):
    def numbered(self, record_number: int) -> "Erasure | None":
        return self.filter(record_number=record_number).first()

    def records_of(self, patients: Iterable[int | None]) -> dict[int, str]:
        """The numbers that erased records had, by the numbers of their patients' rows."""
        found = self.filter(patient_key__in=patients).values_list("patient_key", "record_number")
        return {key: as_printed(number) for key, number in found}


class Erasure(ClinicOwned):
    """The erasing of one patient's record, begun and finished within one transaction.

    While `nowhere` is set, the database lets the sealed rows of this patient go (`erased_with` of their
    seals). It names a row that does not exist, and foreign keys are checked at the commit: so the transaction
    can end only after `finish`. The row itself can't be deleted from its first moment, so nothing sealed
    goes without leaving one.
    """

    patient_key = models.BigIntegerField(_("number of the row that was the patient"))
    record_number = models.PositiveIntegerField(_("record number"))
    last_contact = models.DateField(_("last contact"))
    kept_until = models.DateField(_("kept until"))
    rule = models.CharField(_("rule"), max_length=200)
    erased_at = models.DateTimeField(_("erased"), default=timezone.now)
    erased_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("by")
    )
    counts = models.JSONField(_("rows, by table"), default=dict)
    nowhere = models.ForeignKey(
        "self", null=True, editable=False, on_delete=models.DO_NOTHING, related_name="+"
    )

    objects = ErasureQuerySet.as_manager()

    class Meta:
        verbose_name = _("erased record")
        verbose_name_plural = _("erased records")
        indexes = [
            models.Index(name="erasure_by_clinic", fields=["clinic", "-id"]),
            models.Index(name="erasure_of_patient", fields=["patient_key"]),
        ]
        constraints = [
            models.CheckConstraint(name="erasure_nowhere_is_no_row", condition=Q(nowhere__lt=0)),
            Sealed(name="erasure_stays", by="", may_change=("counts", "nowhere")),
        ]

    def __str__(self) -> str:
        return f"Record {self.record}, {self.erased_at:%Y-%m-%d}"

    @property
    def record(self) -> str:
        """The record number as it was printed."""
        return as_printed(self.record_number)

    @classmethod
    def begin(cls, *, at: datetime.datetime, **facts) -> "Erasure":
        return cls.objects.create(erased_at=at, nowhere_id=NOWHERE, **facts)

    def finish(self, counts: dict[str, int]) -> None:
        """Seal the other rows again; from here on the transaction can be committed."""
        self.counts, self.nowhere_id = counts, None
        self.save(update_fields=["counts", "nowhere"])
