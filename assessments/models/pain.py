"""Pain on the numeric rating scale."""

from collections.abc import Mapping

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from assessments.clinical.pain import Context
from cases.models import Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet


class PainRatingQuerySet(ClinicQuerySet):
    def write(self, visit: Visit, ratings: Mapping[Context, int | None]) -> None:
        """Keep these ratings of a draft visit; one that is None is taken away."""
        emptied = [context for context, value in ratings.items() if value is None]
        self.filter(visit=visit, context__in=emptied).delete()
        self.bulk_create(
            (
                self.model(clinic_id=visit.clinic_id, visit=visit, context=context, value=value)
                for context, value in ratings.items()
                if value is not None
            ),
            update_conflicts=True,
            unique_fields=["visit", "context"],
            update_fields=["value"],
        )


class PainRating(ClinicOwned):
    """One whole number 0–10 with the situation that it speaks of."""

    belongs_to = "visit"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="pain_ratings")
    context = models.CharField(
        _("when"), max_length=20, choices=[(context.value, context.label) for context in Context]
    )
    value = models.SmallIntegerField(_("pain"))

    objects = PainRatingQuerySet.as_manager()

    class Meta:
        verbose_name = _("pain rating")
        verbose_name_plural = _("pain ratings")
        constraints = [
            models.UniqueConstraint(name="pain_once_a_context", fields=["visit", "context"]),
            models.CheckConstraint(
                name="pain_value_0_to_10",
                condition=Q(value__range=(0, 10)),
                violation_error_message=_("Pain is a whole number from 0 to 10."),
            ),
            Sealed(
                name="pain_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="pain_rating_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.context}: {self.value}"
