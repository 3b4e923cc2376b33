"""A record that must not go although its time has passed: a claim, an inquiry, a wish of the patient."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.patient import Patient
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class HoldQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        return self.filter(patient=patient).select_related("placed_by", "lifted_by").order_by("-pk")

    def standing(self) -> Self:
        return self.filter(lifted_at=None)


class Hold(ClinicOwned):
    """One reason to keep a record longer, from the day it is placed until somebody lifts it."""

    belongs_to = "patient"

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="holds")
    reason = models.CharField(_("reason"), max_length=300)
    placed_at = models.DateTimeField(_("placed"), default=timezone.now)
    placed_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("placed by")
    )
    lifted_at = models.DateTimeField(_("lifted"), null=True, blank=True)
    lifted_by = models.ForeignKey(
        Staff, null=True, on_delete=models.PROTECT, related_name="+", verbose_name=_("lifted by")
    )

    objects = HoldQuerySet.as_manager()

    class Meta:
        verbose_name = _("hold")
        verbose_name_plural = _("holds")
        constraints = [
            Journaled(name="hold_journaled"),
            models.UniqueConstraint(
                name="hold_one_standing_a_patient",
                fields=["patient"],
                condition=Q(lifted_at__isnull=True),
                violation_error_message=_("The record is on hold already."),
            ),
            Sealed(
                name="hold_placed_stays",
                by="",
                may_change=("lifted_at", "lifted_by"),
                erased_with="patient",
            ),
            Sealed(name="hold_lifted_stays", by="lifted_at", erased_with="patient"),
        ]

    def __str__(self) -> str:
        return f"Hold on {self.patient}, {self.placed_at:%Y-%m-%d}"

    def lift(self, *, by: Staff, at: datetime.datetime) -> None:
        self.lifted_by, self.lifted_at = by, at
        self.save(update_fields=["lifted_by", "lifted_at"])
