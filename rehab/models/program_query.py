"""Programs as the clinic asks for them: running, drafted, in force on a day, before another."""

import datetime
from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q

from cases.models import Case, Patient
from clinic.models import ClinicQuerySet
from rehab.clinical.ladder import Stage

if TYPE_CHECKING:
    from rehab.models.program import Program


class ProgramQuerySet(ClinicQuerySet):
    def issued(self) -> Self:
        return self.filter(issued_at__isnull=False)

    def running_for(self, *patients: Patient) -> Self:
        """The current program of each of the patients' open cases."""
        running = (
            self.issued()
            .not_ended()
            .filter(case__patient__in=patients, case__status=Case.Status.OPEN)
        )
        return running.select_related("case").order_by("case__side")

    def of_case(self, case: Case) -> Self:
        return self.filter(case=case).newest_first()

    def drafts(self) -> Self:
        return self.filter(issued_at__isnull=True)

    def not_ended(self) -> Self:
        return self.filter(ended_at__isnull=True)

    def cases_in(self, stage: Stage) -> models.QuerySet:
        """The cases whose program now, or when they were closed, is of this stage."""
        return self.issued().not_ended().filter(stage=stage).values("case")

    def current_of(self, case: Case) -> "Program | None":
        return self.running_in(case).with_exercises().first()

    def running_in(self, case: Case) -> Self:
        return self.issued().not_ended().filter(case=case)

    def in_force_on(self, day: datetime.date, *, case: Case) -> "Program | None":
        """The newest program issued by the end of a day that no earlier day had ended."""
        running = Q(ended_at__isnull=True) | Q(ended_at__date__gte=day)
        issued = self.filter(running, case=case, issued_at__date__lte=day)
        return issued.newest_first().first()

    def draft_of(self, case: Case) -> "Program | None":
        return self.drafts().filter(case=case).with_exercises().first()

    def with_exercises(self) -> Self:
        return self.select_related(
            "case__patient", "case__equipment", "issued_by"
        ).prefetch_related("exercises")

    def before(self, program: "Program") -> Self:
        """The versions issued before a program, the newest first."""
        earlier = self.issued().filter(case=program.case_id, version__lt=program.version)
        return earlier.newest_first()

    def newest_first(self) -> Self:
        return self.order_by("-version")
