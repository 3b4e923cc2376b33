"""A patient's wish to have the record erased that was refused, and why."""

from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.patient import Patient
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class ErasureRefusalQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        return self.filter(patient=patient).select_related("refused_by").order_by("-pk")


class ErasureRefusal(ClinicOwned):
    """The record is kept because the law asks for it; what the patient was told stays."""

    belongs_to = "patient"

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="erasure_refusals")
    asked_on = models.DateField(_("asked on"))
    refused_at = models.DateTimeField(_("refused"), default=timezone.now)
    refused_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("refused by")
    )
    kept_until = models.DateField(_("kept until"))
    reason = models.CharField(_("reason"), max_length=500)

    objects = ErasureRefusalQuerySet.as_manager()

    class Meta:
        verbose_name = _("refused erasure")
        verbose_name_plural = _("refused erasures")
        constraints = [
            Sealed(name="erasure_refusal_stays", by="", erased_with="patient"),
            Journaled(name="erasure_refusal_journaled"),
        ]

    def __str__(self) -> str:
        return f"Erasure of {self.patient} refused, {self.refused_at:%Y-%m-%d}"
