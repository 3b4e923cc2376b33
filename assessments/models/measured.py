"""What a visit measured, as one number a measure: what lists and the caseload count without scoring anew."""

from collections.abc import Mapping
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from cases.models import Case, Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet


class MeasuredValueQuerySet(ClinicQuerySet):
    def at(self, visit: Visit) -> Self:
        return self.filter(visit=visit)

    def of_signed_visits(self) -> Self:
        return self.filter(visit__signed_at__isnull=False)

    def write(self, visit: Visit, values: Mapping[str, float]) -> None:
        """Make the values of a draft visit these, by the measure's key in the register."""
        self.at(visit).exclude(measure__in=values).delete()
        self.bulk_create(
            (
                self.model(
                    clinic_id=visit.clinic_id,
                    visit=visit,
                    case_id=visit.case_id,
                    measure=measure,
                    value=value,
                )
                for measure, value in values.items()
            ),
            update_conflicts=True,
            unique_fields=["visit", "measure"],
            update_fields=["value"],
        )


class MeasuredValue(ClinicOwned):
    """One measure of the register at one visit, scored when it was typed."""

    belongs_to = "visit"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="measured_values")
    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="measured_values")
    measure = models.CharField(_("measure"), max_length=30)
    value = models.FloatField(_("value"))

    objects = MeasuredValueQuerySet.as_manager()

    class Meta:
        verbose_name = _("measured value")
        verbose_name_plural = _("measured values")
        constraints = [
            models.UniqueConstraint(name="measured_once_a_visit", fields=["visit", "measure"]),
            Sealed(
                name="measured_value_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="measured_value_journaled"),
        ]
        indexes = [
            models.Index(name="measured_by_case", fields=["case", "measure"]),
            models.Index(name="measured_in_clinic", fields=["clinic", "measure", "case"]),
        ]

    def __str__(self) -> str:
        return f"{self.measure}: {self.value:g}"
