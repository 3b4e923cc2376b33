"""Scored instruments, by item number; the wording stays on the clinic's own form."""

from collections.abc import Mapping

from django.db import models
from django.utils.translation import gettext_lazy as _

from assessments.clinical.questionnaires import tennis_elbow
from cases.models import Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet


class QuestionnaireQuerySet(ClinicQuerySet):
    def write(self, visit: Visit, answers: Mapping[int, int | None]) -> None:
        """Keep the answers by item number; a form without any is taken away."""
        key = {"visit": visit, "instrument": self.model.Instrument.TENNIS_ELBOW}
        if not any(value is not None for value in answers.values()):
            self.filter(**key).delete()
            return
        items = [answers.get(item.number) for item in tennis_elbow.ITEMS]
        self.update_or_create(**key, defaults={"items": items})


class QuestionnaireResponse(ClinicOwned):
    """The numbers that a patient wrote beside each item of one instrument."""

    belongs_to = "visit"

    class Instrument(models.TextChoices):
        TENNIS_ELBOW = "prtee", _("15-item tennis elbow evaluation")

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="questionnaires")
    instrument = models.CharField(_("instrument"), max_length=20, choices=Instrument)
    items = models.JSONField(
        _("items"), help_text=_("A list: one number, or nothing, for each item.")
    )

    objects = QuestionnaireQuerySet.as_manager()

    class Meta:
        verbose_name = _("questionnaire")
        verbose_name_plural = _("questionnaires")
        constraints = [
            models.UniqueConstraint(
                name="questionnaire_once_a_visit", fields=["visit", "instrument"]
            ),
            Sealed(
                name="questionnaire_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="questionnaire_response_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.instrument} of {self.visit}"

    def answers(self) -> dict[int, int | None]:
        """What was answered, by item number."""
        return dict(enumerate(self.items, start=1))
