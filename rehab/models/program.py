"""What the patient does now."""

import datetime

from django.db import models, transaction
from django.db.models import Max, Q
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from cases.models import Case
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, Staff
from clinic.wording import Sentence, say
from rehab.clinical.exercises import EDITION, Card, Dose
from rehab.clinical.ladder import Policy, Stage, stage_doses
from rehab.clinical.lifting import LiftingStep
from rehab.clinical.loads import PETERSON_START_KG
from rehab.clinical.owned import Owned, at_most_kg, is_weighed
from rehab.clinical.proposal import Decision as Verdict
from rehab.clinical.proposal import Proposal
from rehab.clinical.returning import IntervalStep, return_steps
from rehab.clinical.week_plan import WEEK, WeekPlan, days_said, week_plan
from rehab.models.catalog import Catalog
from rehab.models.equipment import Equipment
from rehab.models.issued_words import as_issued
from rehab.models.own_card import OWN
from rehab.models.program_exercise import ProgramExercise
from rehab.models.program_query import ProgramQuerySet

# What makes two versions of the main exercise the same load.
LOAD_FIELDS = ("card", "sets", "repetitions", "hold_s", "load_kg")

# What a version takes over from the one before, as long as the stage stays.
CARRIED = ("remark", "more_because", "return_plan", "job_load_kg", "return_step")


def _same(one: ProgramExercise | None, other: ProgramExercise | None, names) -> bool:
    return bool(one and other) and all(getattr(one, n) == getattr(other, n) for n in names)


def every_day() -> list[int]:
    return list(range(7))


class Program(ClinicOwned):
    """A numbered set of exercises with doses; once issued only its end may still be written."""

    belongs_to = "case"

    class PolicyChoice(models.TextChoices):
        STRICT = Policy.STRICT.value, _("strict")
        STANDARD = Policy.STANDARD.value, _("standard")

    class ReturnPlan(models.TextChoices):
        RACKET = "racket", _("interval racket program")
        LIFTING = "lifting", _("graded lifting")

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="programs")
    version = models.PositiveSmallIntegerField(_("version"))
    stage = models.PositiveSmallIntegerField(_("stage"))
    stage_since = models.DateField(_("in this stage since"))
    policy = models.CharField(_("pain policy"), max_length=8, choices=PolicyChoice)
    load_kg = models.FloatField(_("load of the main exercise, kg"), null=True, blank=True)
    start_load_kg = models.FloatField(
        _("load at the start of the stage, kg"), null=True, blank=True
    )
    load_since = models.DateField(_("at this load since"))
    smallest_step_kg = models.FloatField(_("smallest step that the patient owns, kg"), default=0.1)
    remark = models.TextField(_("remark for the patient"), blank=True)
    weekdays = models.JSONField(
        _("days that the patient can train"),
        default=every_day,
        help_text=_("0 is Monday, 6 is Sunday."),
    )
    return_plan = models.CharField(
        _("return plan"), max_length=10, choices=ReturnPlan, blank=True, default=""
    )
    job_load_kg = models.FloatField(
        _("heaviest load that the job asks for, kg"), null=True, blank=True
    )
    return_step = models.PositiveSmallIntegerField(
        _("next step of the return plan"), null=True, blank=True
    )
    edition = models.CharField(_("edition of the exercise cards"), max_length=20)
    issued_at = models.DateTimeField(_("issued"), null=True, blank=True)
    issued_by = models.ForeignKey(
        Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(_("ended"), null=True, blank=True)
    withdrawn_because = models.CharField(_("withdrawn because"), max_length=300, blank=True)
    more_because = models.CharField(
        _("why more than four exercises"), max_length=300, blank=True, default=""
    )

    objects = ProgramQuerySet.as_manager()

    class Meta:
        verbose_name = _("program")
        verbose_name_plural = _("programs")
        constraints = [
            models.UniqueConstraint(name="program_version_once", fields=["case", "version"]),
            models.UniqueConstraint(
                name="program_one_draft_a_case",
                fields=["case"],
                condition=Q(issued_at__isnull=True),
            ),
            models.UniqueConstraint(
                name="program_one_current_a_case",
                fields=["case"],
                condition=Q(issued_at__isnull=False, ended_at__isnull=True),
            ),
            models.CheckConstraint(
                name="program_stage_1_to_5",
                condition=Q(stage__range=(1, 5)),
                violation_error_message=_("The ladder has stages 1 to 5."),
            ),
            models.CheckConstraint(
                name="program_load_0_to_50_kg",
                condition=Q(load_kg__isnull=True) | Q(load_kg__gte=0, load_kg__lte=50),
                violation_error_message=_("Enter a load from 0 (without a weight) to 50 kg."),
            ),
            models.CheckConstraint(
                name="program_lifting_has_a_job",
                condition=~Q(return_plan="lifting")
                | Q(job_load_kg__isnull=False, job_load_kg__gte=1, job_load_kg__lte=100),
                violation_error_message=_("Enter the heaviest load of the job, 1 to 100 kg."),
            ),
            models.CheckConstraint(
                name="program_issued_by_somebody",
                condition=Q(issued_at__isnull=True, ended_at__isnull=True)
                | Q(issued_at__isnull=False, issued_by__isnull=False),
            ),
            Sealed(
                name="program_issued_stays",
                by="issued_at",
                may_change=("ended_at", "withdrawn_because"),
                erased_with="case.patient",
            ),
            Sealed(name="program_ended_stays", by="ended_at", erased_with="case.patient"),
            Journaled(name="program_journaled"),
        ]

    def __str__(self) -> str:
        return f"Program {self.version} of {self.case}"

    @property
    def rung(self) -> Stage:
        return Stage(self.stage)

    @property
    def rule(self) -> Policy:
        return Policy(self.policy)

    @property
    def main(self) -> ProgramExercise | None:
        """The exercise that the ladder raises: the first of the list."""
        return next(iter(self.exercises.all()), None)

    @property
    def is_issued(self) -> bool:
        return self.issued_at is not None

    @cached_property
    def catalog(self) -> Catalog:
        return Catalog(clinic_id=self.clinic_id)

    @property
    def also_possible(self) -> tuple[Card, ...]:
        """The exercises of the stage that are not in the program yet."""
        return self.catalog.also_possible(self.rung, [one.card for one in self.exercises.all()])

    @property
    def owned(self) -> Owned | None:
        """What the patient owns, or None where it is not recorded."""
        return Equipment.owned_in(self.case)

    @property
    def owned_kg(self) -> tuple[float, ...] | None:
        """The loads that can be made for the main exercise; None where that is not known."""
        owned, main = self.owned, self.main
        return owned.loads_kg(main.card) if owned and main and is_weighed(main.card) else None

    @property
    def week(self) -> WeekPlan:
        """Which exercise is done on which day."""
        doses = [(exercise.card, exercise.dose) for exercise in self.exercises.all()]
        return week_plan(doses, self.weekdays, stage=self.rung)

    @property
    def training_days(self) -> Sentence:
        """The days that the patient can train, in words."""
        return say("every day") if len(self.weekdays) == WEEK else days_said(self.weekdays)

    @property
    def not_owned(self) -> list[ProgramExercise]:
        """The exercises whose load the patient can't make."""
        return [one for one in self.exercises.all() if not one.is_owned_in(self.owned)]

    @property
    def return_steps(self) -> tuple[IntervalStep, ...] | tuple[LiftingStep, ...]:
        """The steps of the return plan; none where no plan is chosen."""
        return return_steps(self.return_plan, job_kg=self.job_load_kg)

    def days_back(self, *, on: datetime.date) -> int | None:
        """Days since a step back out of a higher stage brought the case into this one."""
        came_from = Program.objects.before(self).exclude(stage=self.stage).first()
        if came_from is None or came_from.stage < self.stage:
            return None
        return (on - self.stage_since).days

    def last_load_kg(self, stage: Stage) -> float | None:
        """The main exercise's last load in a stage that the case has been in before."""
        there = Program.objects.before(self).filter(stage=stage).first()
        return there.load_kg if there else None

    @classmethod
    def next_version(cls, case: Case) -> int:
        last = cls.objects.filter(case=case).aggregate(last=Max("version"))["last"]
        return (last or 0) + 1

    @staticmethod
    def policy_for(stage: Stage, *, before: "Program", irritable: bool) -> Policy:
        """The pain policy of the version after `before`: strict in stage 1 and while irritability is high.

        A stage that stays keeps its policy, so that sessions are judged as they were before.
        """
        if stage is before.rung:
            return before.rule
        return Policy.STRICT if irritable or stage is Stage.ISOMETRIC else Policy.STANDARD

    @classmethod
    @transaction.atomic
    def draft(
        cls,
        case: Case,
        *,
        stage: Stage,
        policy: Policy,
        on: datetime.date,
        load_kg: float | None = None,
    ) -> "Program":
        """Begin the next version from the stage's first choice of exercises; a draft there was is replaced.

        `load_kg` is the main exercise's load, where it is known; else the ladder's start load is proposed.
        """
        Case.objects.select_for_update(of=("self",)).get(pk=case.pk)
        cls.objects.filter(case=case, issued_at__isnull=True).delete()
        before = cls.objects.current_of(case)
        program = cls.objects.create(
            case=case,
            version=cls.next_version(case),
            stage=stage,
            stage_since=on,
            policy=policy,
            load_since=on,
            smallest_step_kg=before.smallest_step_kg if before else 0.1,
            weekdays=before.weekdays if before else every_day(),
            edition=EDITION,
        )
        if before and before.stage == stage:
            program.take_exercises_of(before)
            program.carry_over(before)
        else:
            program.take_first_choice()
        program.set_main_load(load_kg)
        program.settle()
        return program

    def carry_over(self, before: "Program") -> None:
        """Take what was written for the stage as a whole from the version before."""
        for name in CARRIED:
            setattr(self, name, getattr(before, name))

    def take_exercises_of(self, before: "Program") -> None:
        for exercise in before.exercises.all():
            exercise.pk, exercise.program, exercise.words = None, self, None
            exercise.save(force_insert=True)

    def take_first_choice(self) -> None:
        for code in self.catalog.first_choice(self.rung):
            self.add(code)

    def usual_dose(self, code: str) -> Dose:
        """What a card is begun with in this stage; the clinic's own cards have one dose for all stages."""
        if code.startswith(OWN):
            return self.catalog.card(code).dose
        sex = self.case.patient.sex
        return stage_doses(self.rung, code, sex=sex if sex in PETERSON_START_KG else None)[0]

    def add(self, code: str) -> ProgramExercise:
        """Add a card at the end of the list, with the stage's dose for it."""
        last = self.exercises.aggregate(last=Max("position"))["last"] or 0
        exercise = ProgramExercise(program=self, position=last + 1, card=code)
        exercise.take(self.usual_dose(code))
        if exercise.load_kg and not exercise.is_owned_in(self.owned):
            exercise.load_kg = at_most_kg(exercise.load_kg, self.owned.loads_kg(code))
        exercise.save()
        return exercise

    def take_step(self, proposal: Proposal) -> None:
        """Give the main exercise the load, hold, sets or repetition-maximum band that was proposed.

        In stage 5 the step is that of the return plan.
        """
        if proposal.next_return_step is not None and proposal.decision is Verdict.STAY:
            self.return_step = proposal.next_return_step
            self.save(update_fields=["return_step"])
        main = self.exercises.order_by("position").first()
        steps = {
            "load_kg": proposal.next_load_kg,
            "hold_s": proposal.next_hold_s,
            "sets": proposal.next_sets,
            "repetitions": proposal.next_rm_band or proposal.next_repetitions,
        }
        new = {name: value for name, value in steps.items() if value is not None}
        if proposal.decision is not Verdict.STAY or main is None or not new:
            return
        for name, value in new.items():
            setattr(main, name, value)
        main.save(update_fields=list(new))
        self.settle()

    def set_main_load(self, load_kg: float | None) -> None:
        main = self.exercises.order_by("position").first()
        if main and load_kg:
            main.load_kg = load_kg
            main.save(update_fields=["load_kg"])

    def settle(self) -> None:
        """Work out the load, and what the stage began with, from the exercises and the program before."""
        before = Program.objects.current_of(self.case)
        main = self.exercises.order_by("position").first()
        self.load_kg = self.start_load_kg = main.load_kg if main else None
        if before and before.stage == self.stage and _same(main, before.main, ("card",)):
            self.start_load_kg = before.start_load_kg or self.load_kg
        self.save(update_fields=["load_kg", "start_load_kg", *CARRIED])

    def date(self, before: "Program | None", *, on: datetime.date) -> None:
        """Set since when stage and load hold: since `on`, or as before where nothing changed.

        A longer hold or another repetition maximum is a change of load too.
        """
        self.stage_since = self.load_since = on
        if before and before.stage == self.stage:
            self.stage_since = before.stage_since
            if _same(self.main, before.main, LOAD_FIELDS):
                self.load_since = before.load_since

    @transaction.atomic
    def issue(self, *, by: Staff, at: datetime.datetime) -> None:
        """End the case's current program and make this one current; from now on it can't be changed."""
        Case.objects.select_for_update(of=("self",)).get(pk=self.case_id)
        before = Program.objects.current_of(self.case)
        self.date(before, on=timezone.localdate(at))
        if before:
            before.end(at=at)
        self.keep_words()
        self.issued_by, self.issued_at = by, at
        self.save(update_fields=["issued_by", "issued_at", "stage_since", "load_since"])

    def keep_words(self) -> None:
        """Write down what each card says now: what goes home stays as it was read."""
        exercises = self.exercises.all()
        for exercise in exercises:
            exercise.words = as_issued(exercise.of_card)
        ProgramExercise.objects.bulk_update(exercises, ["words"])

    def end(self, *, at: datetime.datetime) -> None:
        self.ended_at = at
        self.save(update_fields=["ended_at"])

    def withdraw(self, *, because: str, at: datetime.datetime) -> None:
        """Take back what was issued: it ends, and stays on record with the reason."""
        self.ended_at, self.withdrawn_because = at, because
        self.save(update_fields=["ended_at", "withdrawn_because"])
