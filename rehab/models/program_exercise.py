"""One exercise of a program with its dose."""

import dataclasses

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned
from rehab.clinical.exercises import Card, Dose, card
from rehab.clinical.owned import Owned, is_weighed
from rehab.models.issued_words import card_of
from rehab.models.own_card import OWN

DOSE_FIELDS = tuple(field.name for field in dataclasses.fields(Dose))


class ProgramExercise(ClinicOwned):
    """One exercise card with its dose, in the words it was issued with."""

    belongs_to = "program"

    program = models.ForeignKey("rehab.Program", on_delete=models.CASCADE, related_name="exercises")
    position = models.PositiveSmallIntegerField(_("place in the list"))
    card = models.SlugField(_("exercise"), max_length=40)
    sets = models.PositiveSmallIntegerField(_("sets"))
    repetitions = models.PositiveSmallIntegerField(_("repetitions"), null=True, blank=True)
    hold_s = models.PositiveSmallIntegerField(_("hold, s"), null=True, blank=True)
    load_kg = models.FloatField(_("load, kg"), null=True, blank=True)
    up_s = models.PositiveSmallIntegerField(_("up, s"), null=True, blank=True)
    down_s = models.PositiveSmallIntegerField(_("down, s"), null=True, blank=True)
    rest_s = models.PositiveSmallIntegerField(_("rest, s"), null=True, blank=True)
    sessions_per_day = models.PositiveSmallIntegerField(_("times a day"), default=1)
    days_per_week = models.PositiveSmallIntegerField(_("days a week"))
    remark = models.CharField(_("remark"), max_length=300, blank=True)
    words = models.JSONField(
        _("the card's words as issued"),
        null=True,
        blank=True,
        help_text=_("Kept with the program, so that a later edition of the card changes nothing."),
    )

    class Meta:
        verbose_name = _("exercise of a program")
        verbose_name_plural = _("exercises of a program")
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(
                name="program_one_exercise_a_place", fields=["program", "position"]
            ),
            models.UniqueConstraint(name="program_card_once", fields=["program", "card"]),
            models.CheckConstraint(
                name="program_exercise_has_work",
                condition=Q(repetitions__gte=1, repetitions__lte=100)
                | Q(hold_s__gte=1, hold_s__lte=300),
                violation_error_message=_("Give repetitions (1–100) or a hold in seconds (1–300)."),
            ),
            models.CheckConstraint(
                name="program_exercise_sets_1_to_10",
                condition=Q(sets__range=(1, 10)),
                violation_error_message=_("Give 1 to 10 sets."),
            ),
            models.CheckConstraint(
                name="program_exercise_load_0_to_50_kg",
                condition=Q(load_kg__isnull=True) | Q(load_kg__gte=0, load_kg__lte=50),
                violation_error_message=_("Enter a load from 0 (without a weight) to 50 kg."),
            ),
            models.CheckConstraint(
                name="program_exercise_days_1_to_7",
                condition=Q(days_per_week__range=(1, 7), sessions_per_day__range=(1, 4)),
                violation_error_message=_("Give 1 to 7 days a week and 1 to 4 times a day."),
            ),
            Sealed(
                name="program_exercise_issued_stays",
                by="program.issued_at",
                erased_with="program.case.patient",
            ),
            Journaled(name="program_exercise_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.position}. {self.card}"

    @property
    def of_card(self) -> Card:
        """The card: in a program that is issued as it was then, in a draft as it is now."""
        if self.words:
            return card_of(self.words)
        return (
            self.program.catalog.card(self.card) if self.card.startswith(OWN) else card(self.card)
        )

    def is_owned_in(self, owned: Owned | None) -> bool:
        """Whether its load can be made with what is owned; where that is not recorded, any can."""
        if owned is None or self.load_kg is None or not is_weighed(self.card):
            return True
        return owned.owns(self.load_kg, self.card)

    def take(self, dose: Dose) -> None:
        for name in DOSE_FIELDS:
            setattr(self, name, getattr(dose, name))

    @property
    def dose(self) -> Dose:
        return Dose(**{name: getattr(self, name) for name in DOSE_FIELDS})
