"""Grip, as the dynamometer shows it and in newtons."""

from collections.abc import Mapping
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from assessments.clinical.force import Unit
from assessments.clinical.grip import MAX_SQUEEZES, Effort, Position
from assessments.clinical.protocol import WAYS, Squeeze, Struck, Way
from cases.clinical.sides import Side
from cases.models import Case, Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet

Trials = Mapping[tuple[Way, Side], Mapping[int, Squeeze]]


class GripTestQuerySet(ClinicQuerySet):
    def at(self, visit: Visit) -> Self:
        return self.filter(visit=visit)

    def write(self, visit: Visit, *, unit: Unit, trials: Trials) -> None:
        """Keep these tests of a draft visit, squeezes by number; a test without any is taken away."""
        kept = {key: numbers for key, numbers in trials.items() if numbers}
        there = {(test.way, test.measured_side): test.pk for test in self.at(visit)}
        touched = [there[key] for key in trials if key in there]
        GripTrial.objects.filter(grip_test__in=touched).delete()
        self.filter(pk__in=[there[key] for key in trials.keys() - kept if key in there]).delete()
        tests = self.bulk_create(
            [
                self.model(
                    clinic_id=visit.clinic_id,
                    visit=visit,
                    side=side,
                    position=way.position,
                    effort=way.effort,
                    unit=unit,
                )
                for way, side in kept
            ],
            update_conflicts=True,
            unique_fields=["visit", "side", "position", "effort"],
            update_fields=["unit"],
        )
        GripTrial.objects.bulk_create(
            GripTrial(
                clinic_id=visit.clinic_id,
                grip_test=test,
                number=number,
                force_n=squeeze.force_n,
                struck=squeeze.struck or "",
            )
            for test, numbers in zip(tests, kept.values(), strict=True)
            for number, squeeze in numbers.items()
        )


class GripTest(ClinicOwned):
    """The trials on one side, in one position, with one effort; three count, the others are struck out."""

    belongs_to = "visit"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="grip_tests")
    side = models.CharField(_("side"), max_length=5, choices=Case.SideChoice)
    position = models.CharField(
        _("position"), max_length=10, choices=[(p.value, p.label) for p in Position]
    )
    effort = models.CharField(
        _("effort"), max_length=10, choices=[(e.value, e.label) for e in Effort]
    )
    unit = models.CharField(
        _("unit as read"), max_length=3, choices=[(u.value, u.value) for u in Unit]
    )

    objects = GripTestQuerySet.as_manager()

    class Meta:
        verbose_name = _("grip test")
        verbose_name_plural = _("grip tests")
        constraints = [
            models.UniqueConstraint(
                name="grip_once_a_side_and_way", fields=["visit", "side", "position", "effort"]
            ),
            Sealed(
                name="grip_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="grip_test_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.side}, {self.position}, {self.effort}"

    @property
    def measured_side(self) -> Side:
        return Side(self.side)

    @property
    def way(self) -> Way | None:
        """The row of WAYS that this is, or None for a position or effort that visits don't hold."""
        done = (self.position, self.effort)
        return next((way for way in WAYS if (way.position, way.effort) == done), None)

    def squeezes(self) -> tuple[Squeeze, ...]:
        """All trials in their order, with those that were struck out."""
        return tuple(trial.squeeze for trial in self.trials.all())

    def forces_n(self) -> tuple[float, ...]:
        """The trials that count, in newtons, in their order."""
        return tuple(squeeze.force_n for squeeze in self.squeezes() if not squeeze.struck)


class GripTrial(ClinicOwned):
    """One squeeze."""

    belongs_to = "grip_test"

    grip_test = models.ForeignKey(GripTest, on_delete=models.PROTECT, related_name="trials")
    number = models.SmallIntegerField(_("trial"))
    force_n = models.FloatField(_("force in newtons"))
    struck = models.CharField(
        _("struck out because"),
        max_length=10,
        choices=[(why.value, why.label) for why in Struck],
        blank=True,
        help_text=_("A trial that is struck out stays on record and counts for nothing."),
    )

    class Meta:
        verbose_name = _("grip trial")
        verbose_name_plural = _("grip trials")
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(name="grip_trial_once", fields=["grip_test", "number"]),
            models.CheckConstraint(
                name="grip_trial_1_to_6",
                condition=Q(number__range=(1, MAX_SQUEEZES)),
                violation_error_message=_("A grip test has up to six trials."),
            ),
            models.CheckConstraint(
                name="grip_force_0_to_1000_n",
                condition=Q(force_n__gte=0, force_n__lte=1000),
                violation_error_message=_("No hand squeezes less than 0 or more than 1000 N."),
            ),
            Sealed(
                name="grip_trial_of_signed_visit_stays",
                by="grip_test.visit.signed_at",
                erased_with="grip_test.visit.case.patient",
            ),
            Journaled(name="grip_trial_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.force_n:.0f} N"

    @property
    def squeeze(self) -> Squeeze:
        return Squeeze(force_n=self.force_n, struck=Struck(self.struck) if self.struck else None)
