"""Records whose use is restricted: kept, and read for a stated reason only."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.patient import Patient
from cases.models.standing import Standing, StandingQuerySet, seals
from clinic.journal import Journaled
from clinic.models import Staff


class RestrictionQuerySet(StandingQuerySet):
    def in_force(self, *, on: datetime.date) -> Self:
        begun = Q(since__lte=on) & (Q(until=None) | Q(until__gte=on))
        return self.standing().filter(begun)

    def on_patient(self, patient: int, *, on: datetime.date) -> "Restriction | None":
        return self.filter(patient=patient).in_force(on=on).select_related("placed_by").first()


def restricted(patient: str, *, on: datetime.date) -> Exists:
    """Whether the patient that a lookup leads to is restricted on a day: a condition for any query."""
    return Exists(Restriction.objects.filter(patient=OuterRef(patient)).in_force(on=on))


class Restriction(Standing):
    """One restriction of one record, GDPR Art. 18, with its reason and its days."""

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="restrictions")
    reason = models.CharField(_("reason"), max_length=300)
    since = models.DateField(_("from"))
    until = models.DateField(_("until"), null=True, blank=True)
    placed_at = models.DateTimeField(_("placed"), default=timezone.now)
    placed_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("placed by")
    )
    lifted_at = models.DateTimeField(_("lifted"), null=True, blank=True)
    lifted_by = models.ForeignKey(
        Staff, null=True, on_delete=models.PROTECT, related_name="+", verbose_name=_("lifted by")
    )

    objects = RestrictionQuerySet.as_manager()

    class Meta:
        verbose_name = _("restriction")
        verbose_name_plural = _("restrictions")
        constraints = [
            Journaled(name="restriction_journaled"),
            models.CheckConstraint(
                name="restriction_ends_after_it_begins",
                condition=Q(until__isnull=True) | Q(until__gte=models.F("since")),
                violation_error_message=_("The last day can't come before the first."),
            ),
            models.UniqueConstraint(
                name="restriction_one_standing_a_patient",
                fields=["patient"],
                condition=Q(lifted_at__isnull=True, until__isnull=True),
                violation_error_message=_("The record is restricted already."),
            ),
            *seals("restriction"),
        ]

    def __str__(self) -> str:
        return f"Restriction of {self.patient}, {self.since}"
