"""What the rules proposed, what the physiotherapist decided, and why."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.models import Visit
from clinic.constraints import Sealed
from clinic.models import ClinicOwned, Staff
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal
from rehab.models.program import Program


class Decision(ClinicOwned):
    """One decision at one visit; the criteria and thresholds are kept as they stood."""

    belongs_to = "visit"

    class Choice(models.TextChoices):
        MOVE_UP = Verdict.MOVE_UP.value, _("move up")
        STAY = Verdict.STAY.value, _("stay")
        STEP_BACK = Verdict.STEP_BACK.value, _("step back")
        STOP = Verdict.STOP_AND_REVIEW.value, _("stop and review")

    class Step(models.TextChoices):
        ADD = LoadStep.ADD.value, _("add load")
        KEEP = LoadStep.KEEP.value, _("keep the load")
        REDUCE = LoadStep.REDUCE.value, _("reduce the load")

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="decision")
    program = models.ForeignKey(
        Program, on_delete=models.PROTECT, related_name="decisions", verbose_name=_("about program")
    )
    proposed = models.CharField(_("proposed"), max_length=20, choices=Choice)
    proposed_step = models.CharField(_("proposed load step"), max_length=10, choices=Step)
    made = models.CharField(_("decided"), max_length=20, choices=Choice)
    made_step = models.CharField(_("load step"), max_length=10, choices=Step)
    reason = models.CharField(_("reason for deciding otherwise"), max_length=300, blank=True)
    proposal = models.JSONField(_("the proposal as it stood"))
    decided_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(_("decided at"), auto_now_add=True)

    class Meta:
        verbose_name = _("decision")
        verbose_name_plural = _("decisions")
        constraints = [
            models.CheckConstraint(
                name="decision_otherwise_has_reason",
                condition=Q(proposed=models.F("made"), proposed_step=models.F("made_step"))
                | ~Q(reason=""),
                violation_error_message=_("Say why you decide otherwise."),
            ),
            Sealed(name="decision_stays", by=""),
        ]

    def __str__(self) -> str:
        return f"{self.made} at {self.visit}"

    def as_proposed(self) -> Proposal:
        return Proposal.from_json(self.proposal)
