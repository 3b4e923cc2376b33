"""Calls to a patient who is due: what came of each."""

import datetime
from collections.abc import Iterable

from django.db import models
from django.db.models import Max, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models.case import Case
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class ContactQuerySet(ClinicQuerySet):
    def of_case(self, case: Case) -> "ContactQuerySet":
        return self.filter(case=case).select_related("by").order_by("-pk")

    def latest_of(self, cases: Iterable[Case]) -> dict[int, "Contact"]:
        """The last contact of each case, by the case's number; one query."""
        last = self.filter(case__in=cases).values("case").annotate(last=Max("pk")).values("last")
        return {one.case_id: one for one in self.filter(pk__in=last).select_related("by")}


class Contact(ClinicOwned):
    """One try to reach the patient of a case; it stays as it was written."""

    belongs_to = "case"

    class Outcome(models.TextChoices):
        REACHED = "reached", _("reached")
        MESSAGE = "message", _("message left")
        NO_ANSWER = "no answer", _("no answer")
        CALLS_BACK = "calls back", _("will call back")
        DECLINED = "declined", _("wants no more visits")

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="contacts")
    at = models.DateTimeField(_("at"), default=timezone.now)
    by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("called by")
    )
    outcome = models.CharField(_("what came of it"), max_length=10, choices=Outcome)
    note = models.CharField(_("remark"), max_length=200, blank=True)
    again_on = models.DateField(_("call again on"), null=True, blank=True)

    objects = ContactQuerySet.as_manager()

    class Meta:
        verbose_name = _("contact")
        verbose_name_plural = _("contacts")
        indexes = [models.Index(name="contact_by_case", fields=["case", "-id"])]
        constraints = [
            models.CheckConstraint(
                name="contact_declined_has_reason",
                condition=~Q(outcome="declined", note=""),
                violation_error_message=_("Write why the patient wants no more visits."),
            ),
            Sealed(name="contact_stays", by="", erased_with="case.patient"),
            Journaled(name="contact_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.get_outcome_display()}, {self.at:%Y-%m-%d}"

    @property
    def declined(self) -> bool:
        return self.outcome == self.Outcome.DECLINED

    def waits(self, *, today: datetime.date) -> bool:
        """Whether the patient is not to be called yet."""
        return self.again_on is not None and self.again_on > today
