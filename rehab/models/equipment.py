"""What the patient owns to train with; a program uses nothing else."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.models import Case
from clinic.journal import Journaled
from clinic.models import ClinicOwned
from rehab.clinical.owned import Owned


class Equipment(ClinicOwned):
    """Weights, band, offset weight and ball of one patient, as they are at home."""

    belongs_to = "case"

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="equipment")
    weights_kg = models.JSONField(
        _("weights, kg"), default=list, blank=True, help_text=_("For example 0.5 1 1.5 2.")
    )
    has_bottle = models.BooleanField(
        _("a bottle to fill with water (100 ml weighs 0.1 kg)"), default=True
    )
    band_at_50_n = models.FloatField(_("band at half as long again, N"), null=True, blank=True)
    band_at_100_n = models.FloatField(_("band at double length, N"), null=True, blank=True)
    hammer_kg = models.FloatField(_("hammer or offset weight, kg"), null=True, blank=True)
    hammer_m = models.FloatField(_("from the grip to the weight, m"), null=True, blank=True)
    has_ball = models.BooleanField(_("a soft ball"), default=False)
    has_twist_bar = models.BooleanField(_("a flexible bar"), default=False)

    class Meta:
        verbose_name = _("equipment")
        verbose_name_plural = _("equipment")
        constraints = [
            models.CheckConstraint(
                name="equipment_band_is_stronger_when_longer",
                condition=Q(band_at_50_n__isnull=True, band_at_100_n__isnull=True)
                | Q(band_at_50_n__gt=0, band_at_100_n__gt=models.F("band_at_50_n")),
                violation_error_message=_("A band pulls more at double length than at half more."),
            ),
            models.CheckConstraint(
                name="equipment_hammer_has_length",
                condition=Q(hammer_kg__isnull=True, hammer_m__isnull=True)
                | Q(hammer_kg__gt=0, hammer_kg__lte=5, hammer_m__gt=0, hammer_m__lte=1),
                violation_error_message=_(
                    "Give the offset weight up to 5 kg and its length up to 1 m."
                ),
            ),
            Journaled(name="equipment_journaled"),
        ]

    def __str__(self) -> str:
        return f"Equipment of {self.case}"

    @classmethod
    def of_case(cls, case: Case) -> "Equipment | None":
        """What is recorded about a case, or None."""
        return getattr(case, "equipment", None)

    @classmethod
    def owned_in(cls, case: Case) -> Owned | None:
        """What the loads of a case go by; None where nothing is recorded."""
        recorded = cls.of_case(case)
        return recorded.owned if recorded else None

    @property
    def owned(self) -> Owned:
        return Owned(
            weights_kg=tuple(self.weights_kg),
            bottle=self.has_bottle,
            hammer_kg=self.hammer_kg,
            band=self.band_at_50_n is not None,
            ball=self.has_ball,
            twist_bar=self.has_twist_bar,
        )
