"""A record that must not go although its time has passed: a claim, an inquiry, a wish of the patient."""

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.patient import Patient
from cases.models.standing import Standing, StandingQuerySet, seals
from clinic.journal import Journaled
from clinic.models import Staff


class Hold(Standing):
    """One reason to keep a record longer, from the day it is placed until somebody lifts it."""

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

    objects = StandingQuerySet.as_manager()

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
            *seals("hold"),
        ]

    def __str__(self) -> str:
        return f"Hold on {self.patient}, {self.placed_at:%Y-%m-%d}"
