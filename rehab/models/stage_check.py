"""What only the physiotherapist can say about the gate of a stage."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.models import Visit
from cases.models.intake import pain_check
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned


class StageCheck(ClinicOwned):
    """The answers of one visit that no measure gives: the test lift, the job, the other arm."""

    belongs_to = "visit"

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="stage_check")
    other_side_sore = models.BooleanField(
        _("other side sore or weak too"),
        null=True,
        blank=True,
        help_text=_("Then the grip ratio is no yardstick."),
    )
    job_is_light = models.BooleanField(_("job and sport are light"), default=False)
    test_lift_pain = models.SmallIntegerField(
        _("pain in the test lift of the job or sport"), null=True, blank=True
    )
    return_steps_done = models.PositiveSmallIntegerField(
        _("steps of the return plan done"), null=True, blank=True
    )
    own_goal_met = models.BooleanField(_("patient's own goal met"), null=True, blank=True)

    class Meta:
        verbose_name = _("stage check")
        verbose_name_plural = _("stage checks")
        constraints = [
            pain_check("stage_check_lift_pain_0_to_10", "test_lift_pain"),
            models.CheckConstraint(
                name="stage_check_steps_0_to_21",
                condition=Q(return_steps_done__isnull=True) | Q(return_steps_done__range=(0, 21)),
                violation_error_message=_("The return plan has 21 steps."),
            ),
            Sealed(
                name="stage_check_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="stage_check_journaled"),
        ]

    def __str__(self) -> str:
        return f"Stage check of {self.visit}"

    @classmethod
    def at(cls, visit: Visit) -> "StageCheck":
        """The answers of a visit, or a set to fill in; the job stays as light as it was said to be before."""
        checks = cls.objects.filter(visit__case=visit.case).order_by("-visit__on", "-visit")
        latest = checks.filter(visit__on__lte=visit.on).first()
        if latest and latest.visit_id == visit.pk:
            return latest
        return cls(visit=visit, job_is_light=bool(latest and latest.job_is_light))
