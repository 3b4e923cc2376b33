"""What the rules proposed, what the physiotherapist decided, and why."""

import datetime
from collections.abc import Iterable
from typing import Self

from django.db import models, transaction
from django.db.models import Max, Q
from django.utils.translation import gettext_lazy as _

from cases.models import Case, Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from rehab.clinical.loads import reduced_load_kg
from rehab.clinical.progression import Decision as Verdict
from rehab.clinical.progression import LoadStep, Proposal
from rehab.clinical.thresholds import DEFAULTS, Limits
from rehab.models.program import Program


class DecisionQuerySet(ClinicQuerySet):
    def at(self, visit: Visit) -> "Decision | None":
        """The decision of a visit, with its program, or None before it is made."""
        return self.filter(visit=visit).select_related("program__case", "decided_by").first()

    def of_case(self, case: Case) -> Self:
        return self.filter(visit__case=case).select_related("visit", "program").order_by("-pk")

    def latest_of(self, cases: Iterable[Case]) -> dict[int, "Decision"]:
        """The last decision of each case, by the case's number; one query."""
        made = self.filter(visit__case__in=cases).values("visit__case")
        last = made.annotate(last=Max("pk")).values("last")
        return {one.visit.case_id: one for one in self.filter(pk__in=last).select_related("visit")}


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
    decided_at = models.DateTimeField(_("decided at"))

    objects = DecisionQuerySet.as_manager()

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
            Sealed(name="decision_stays", by="", erased_with="visit.case.patient"),
            Journaled(name="decision_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.made} at {self.visit}"

    def as_proposed(self) -> Proposal:
        return Proposal.from_json(self.proposal)

    @property
    def is_as_proposed(self) -> bool:
        return (self.made, self.made_step) == (self.proposed, self.proposed_step)

    @classmethod
    @transaction.atomic
    def make(
        cls,
        visit: Visit,
        program: Program,
        proposal: Proposal,
        *,
        made: str,
        made_step: str,
        reason: str,
        by: Staff,
        at: datetime.datetime,
        irritable: bool = False,
        limits: Limits = DEFAULTS,
    ) -> "Decision":
        """Keep the decision with the proposal as it stood, and carry it out.

        Stopping ends the program; a new stage or load begins the draft of the next version. While the elbow
        is highly `irritable` a new stage keeps the strict pain policy.
        """
        decision = cls.objects.create(
            visit=visit,
            program=program,
            proposed=str(proposal.decision),
            proposed_step=str(proposal.load_step),
            made=made,
            made_step=made_step,
            reason=reason,
            proposal=proposal.as_json(),
            decided_by=by,
            decided_at=at,
        )
        if made == cls.Choice.STOP:
            program.end(at=at)
        elif decision.changes_program:
            decision.draft_program(irritable=irritable, limits=limits)
        return decision

    @property
    def changes_program(self) -> bool:
        stays = self.made == self.Choice.STAY and self.made_step == self.Step.KEEP
        return not stays and self.made != self.Choice.STOP

    def draft_program(self, *, irritable: bool, limits: Limits) -> Program:
        """Begin the next version: the stage decided on, and the load that the rules worked out for it.

        Deciding otherwise leaves the load as it is: the rules have worked out none for that. A stage that
        the case comes back to begins lighter than it was left.
        """
        was = self.program.rung
        stage = {
            self.Choice.MOVE_UP: was.above or was,
            self.Choice.STEP_BACK: was.below or was,
        }.get(self.made, was)
        policy = Program.policy_for(stage, before=self.program, irritable=irritable)
        draft = Program.draft(self.visit.case, stage=stage, policy=policy, on=self.visit.on)
        if self.is_as_proposed:
            draft.take_step(self.as_proposed())
        left_at = draft.last_load_kg(stage) if stage is not was else None
        if left_at:
            lighter = reduced_load_kg(
                left_at,
                smallest_step_kg=draft.smallest_step_kg,
                owned_kg=draft.owned_kg,
                limits=limits,
            )
            draft.set_main_load(lighter.load_kg)
            draft.settle()
        return draft
