"""A clinic's own values of the ladder's thresholds, each change with its reason; nothing is overwritten."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import Clinic, ClinicOwned, ClinicQuerySet, Staff
from rehab.clinical.thresholds import DEFAULTS, Limits, in_force


class ThresholdChangeQuerySet(ClinicQuerySet):
    def limits(self, clinic: Clinic | int) -> Limits:
        """The table in force in a clinic today: the printed values with its own in their place."""
        own: dict[str, float | None] = {}
        for change in self.of(clinic).order_by("pk"):
            own[change.code] = change.value
        changed = {code: value for code, value in own.items() if value is not None}
        return in_force(changed) if changed else DEFAULTS

    def history(self, code: str) -> list["ThresholdChange"]:
        """The changes of one threshold, the newest first, each knowing the value before it in `was`."""
        changes = list(self.filter(code=code).select_related("changed_by").order_by("pk"))
        for before, change in zip([None, *changes], changes, strict=False):
            change.was = before.value if before else None
        return changes[::-1]


class ThresholdChange(ClinicOwned):
    """One change of one setting; `value` None goes back to the printed value."""

    code = models.SlugField(_("threshold"), max_length=40)
    value = models.FloatField(_("value"), null=True, blank=True)
    reason = models.CharField(_("reason"), max_length=300)
    changed_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    changed_at = models.DateTimeField(_("changed at"), default=timezone.now)

    objects = ThresholdChangeQuerySet.as_manager()

    class Meta:
        verbose_name = _("change of a threshold")
        verbose_name_plural = _("changes of thresholds")
        indexes = [models.Index(name="threshold_change_of_clinic", fields=["clinic", "code"])]
        constraints = [
            models.CheckConstraint(
                name="threshold_change_has_reason",
                condition=~models.Q(reason=""),
                violation_error_message=_("Say why the value is changed."),
            ),
            Sealed(name="threshold_change_stays", by=""),
            Journaled(name="threshold_change_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.code}: {self.value}"

    @classmethod
    def make(cls, code: str, value: float, *, reason: str, by: Staff) -> "ThresholdChange":
        """Write a clinic's own value down; the printed value is kept as none of its own."""
        own = None if value == DEFAULTS[code].value else value
        return cls.objects.create(
            clinic=by.clinic, code=code, value=own, reason=reason, changed_by=by
        )
