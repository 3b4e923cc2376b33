"""What a patient wants to have corrected in the record, and what was answered."""

import datetime
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.models.patient import Patient
from cases.models.visit import Addendum
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class CorrectionQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        return self.filter(patient=patient).with_people().order_by("-pk")

    def open(self) -> Self:
        return self.filter(answer="")

    def with_people(self) -> Self:
        return self.select_related("patient", "taken_by", "answered_by", "addendum__visit")

    def most_urgent_first(self) -> Self:
        return self.order_by("due_on", "pk")


class CorrectionRequest(ClinicOwned):
    """One request to amend what is written; nothing written is changed by it, only added to."""

    belongs_to = "patient"

    class Answer(models.TextChoices):
        GRANTED = "granted", _("granted")
        REFUSED = "refused", _("refused")

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="corrections")
    asked_on = models.DateField(_("asked on"))
    what = models.TextField(_("what is to be corrected"))
    taken_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("written down by")
    )
    taken_at = models.DateTimeField(_("written down"), auto_now_add=True)
    due_on = models.DateField(_("answer due on"))
    answer = models.CharField(_("answer"), max_length=7, choices=Answer, blank=True)
    because = models.CharField(_("reason, as told to the patient"), max_length=500, blank=True)
    answered_at = models.DateTimeField(_("answered"), null=True, blank=True)
    answered_by = models.ForeignKey(
        Staff, null=True, on_delete=models.PROTECT, related_name="+", verbose_name=_("answered by")
    )
    addendum = models.ForeignKey(
        Addendum, null=True, blank=True, on_delete=models.PROTECT, related_name="corrections",
        verbose_name=_("addendum that it came to"),
    )  # fmt: skip

    objects = CorrectionQuerySet.as_manager()

    class Meta:
        verbose_name = _("request for correction")
        verbose_name_plural = _("requests for correction")
        indexes = [
            models.Index(
                name="correction_open", fields=["clinic", "due_on"], condition=Q(answer="")
            )
        ]
        constraints = [
            Journaled(name="correction_request_journaled"),
            models.CheckConstraint(
                name="correction_refused_has_reason",
                condition=~Q(answer="refused", because=""),
                violation_error_message=_("Write why it is refused."),
            ),
            models.CheckConstraint(
                name="correction_answered_by_somebody",
                condition=Q(answer="", answered_at__isnull=True, answered_by__isnull=True)
                | (~Q(answer="") & Q(answered_at__isnull=False, answered_by__isnull=False)),
            ),
            Sealed(
                name="correction_taken_stays",
                by="",
                may_change=("answer", "because", "answered_at", "answered_by", "addendum"),
                erased_with="patient",
            ),
            Sealed(name="correction_answered_stays", by="answered_at", erased_with="patient"),
        ]

    def __str__(self) -> str:
        return f"Correction for {self.patient}, {self.asked_on}"

    @property
    def is_open(self) -> bool:
        return not self.answer

    def give(
        self, answer: "CorrectionRequest.Answer", *, because: str, by: Staff,
        at: datetime.datetime, addendum: Addendum | None = None,
    ) -> None:  # fmt: skip
        """Answer the request, once."""
        self.answer, self.because, self.addendum = answer, because, addendum
        self.answered_by, self.answered_at = by, at
        columns = ["answer", "because", "addendum", "answered_by", "answered_at"]
        self.save(update_fields=columns)
