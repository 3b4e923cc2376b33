"""What somebody places on a patient's record and somebody lifts again; that it was there stays."""

import datetime
from typing import Self

from cases.models.patient import Patient
from clinic.constraints import Sealed
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class StandingQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        return self.filter(patient=patient).select_related("placed_by", "lifted_by").order_by("-pk")

    def standing(self) -> Self:
        return self.filter(lifted_at=None)


class Standing(ClinicOwned):
    """One thing that stands on a record, from when it is placed until it is lifted.

    Each model has the columns of both itself: a copy of the record tells them in the model's own order.
    """

    belongs_to = "patient"

    class Meta:
        abstract = True

    def lift(self, *, by: Staff, at: datetime.datetime) -> None:
        self.lifted_by, self.lifted_at = by, at
        self.save(update_fields=["lifted_by", "lifted_at"])


def seals(name: str) -> list[Sealed]:
    """The rules that it can only be lifted, and that once."""
    lifting = ("lifted_at", "lifted_by")
    return [
        Sealed(name=f"{name}_placed_stays", by="", may_change=lifting, erased_with="patient"),
        Sealed(name=f"{name}_lifted_stays", by="lifted_at", erased_with="patient"),
    ]
