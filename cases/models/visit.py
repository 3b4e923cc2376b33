"""One dated contact: a draft until it is signed, then only addenda."""

import datetime
from typing import Self

from django.db import models, transaction
from django.db.models import Q
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from cases.models.case import Case
from cases.models.patient import Patient
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class VisitQuerySet(ClinicQuerySet):
    def signed(self) -> Self:
        return self.filter(signed_at__isnull=False)

    def signed_of(self, patient: Patient) -> Self:
        """What was signed about a patient, both elbows, the newest first."""
        return self.signed().filter(case__patient=patient).select_related("case").newest_first()

    def drafts(self) -> Self:
        return self.filter(signed_at__isnull=True)

    def signed_after(self, visit: "Visit", day: datetime.date) -> Self:
        """The same case's visits that are signed and of a later day."""
        return self.signed().filter(case=visit.case, on__gt=day).exclude(pk=visit.pk)

    def begun_by(self, staff: Staff) -> Self:
        return self.filter(practitioner=staff)

    def with_patient(self) -> Self:
        return self.select_related("case__patient")

    def newest_first(self) -> Self:
        return self.order_by("-on", "-pk")

    def before(self, visit: "Visit") -> Self:
        """The same case's visits that came before this one; of one day, those that were begun before."""
        earlier = Q(on__lt=visit.on) | Q(on=visit.on, pk__lt=visit.pk)
        return self.filter(earlier, case=visit.case)


class Visit(ClinicOwned):
    """What was heard, found, thought and planned on one day."""

    belongs_to = "case"

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="visits")
    on = models.DateField(_("date"))
    practitioner = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("seen by")
    )
    subjective = models.TextField(_("subjective"), blank=True)
    objective = models.TextField(_("objective"), blank=True)
    assessment = models.TextField(_("assessment"), blank=True)
    plan = models.TextField(_("plan"), blank=True)
    treatment = models.TextField(_("treatment given"), blank=True)
    minutes = models.PositiveSmallIntegerField(_("time spent, min"), null=True, blank=True)
    due_on = models.DateField(_("wanted back on"), null=True, blank=True)
    saved_at = models.DateTimeField(_("saved"), auto_now=True)
    signed_at = models.DateTimeField(_("signed"), null=True, blank=True)
    signed_by = models.ForeignKey(
        Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_name = models.CharField(_("signed name"), max_length=200, blank=True)
    signed_registration = models.CharField(_("registration number"), max_length=40, blank=True)

    objects = VisitQuerySet.as_manager()

    class Meta:
        verbose_name = _("visit")
        verbose_name_plural = _("visits")
        indexes = [models.Index(name="visit_by_case", fields=["case", "-on", "-id"])]
        constraints = [
            models.UniqueConstraint(
                name="visit_one_draft_a_case",
                fields=["case"],
                condition=Q(signed_at__isnull=True),
                violation_error_message=_("This case has a draft visit already."),
            ),
            models.CheckConstraint(
                name="visit_signed_by_somebody",
                condition=Q(signed_at__isnull=True, signed_by__isnull=True)
                | Q(signed_at__isnull=False, signed_by__isnull=False),
            ),
            models.CheckConstraint(
                name="visit_minutes_1_to_240",
                condition=Q(minutes__isnull=True) | Q(minutes__range=(1, 240)),
                violation_error_message=_("Enter the time spent in whole minutes, 1–240."),
            ),
            Sealed(name="visit_signed_stays", by="signed_at", erased_with="case.patient"),
            Journaled(name="visit_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.case}, {self.on}"

    @property
    def is_signed(self) -> bool:
        return self.signed_at is not None

    def written_notes(self) -> list[tuple[str, str]]:
        """Label and text of what was written, in the order of the form."""
        names = ("subjective", "objective", "assessment", "treatment", "plan")
        texts = ((self._meta.get_field(name).verbose_name, getattr(self, name)) for name in names)
        return [(capfirst(label), text) for label, text in texts if text]

    def addenda_in_order(self) -> models.QuerySet["Addendum"]:
        return self.addenda.select_related("written_by")

    @property
    def has_notes(self) -> bool:
        return any((self.subjective, self.objective, self.assessment, self.plan, self.treatment))

    @classmethod
    def begin(cls, case: Case, *, on: datetime.date, by: Staff) -> "Visit":
        """Return the case's draft, begun today if there is none; two who begin at once get the same one."""
        draft, _created = cls.objects.get_or_create(
            case=case,
            signed_at=None,
            defaults={"on": on, "practitioner": by, "clinic": case.clinic},
        )
        return draft

    @transaction.atomic
    def sign(self, *, by: Staff, at: datetime.datetime) -> None:
        """Close the record with name and registration number, and set when the patient is due.

        A day that this visit has answered doesn't stand on: without a new one the case is undated.
        """
        self.signed_by, self.signed_at = by, at
        self.signed_name, self.signed_registration = str(by), by.registration_number
        self.save(update_fields=["signed_by", "signed_at", "signed_name", "signed_registration"])
        was_due = self.case.due_on
        if self.due_on or (was_due and was_due <= self.on):
            self.case.set_due(self.due_on)


class AddendumQuerySet(ClinicQuerySet):
    def of_patient(self, patient: Patient) -> Self:
        """All that was added to the patient's visits, the newest first."""
        rows = self.filter(visit__case__patient=patient).select_related("visit")
        return rows.order_by("-written_at")


class Addendum(ClinicOwned):
    """What is added to a signed visit, with the reason; it can't be changed either."""

    belongs_to = "visit"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="addenda")
    text = models.TextField(_("addendum"))
    reason = models.CharField(_("reason"), max_length=200)
    written_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("written by")
    )
    written_at = models.DateTimeField(_("written"), auto_now_add=True)

    objects = AddendumQuerySet.as_manager()

    class Meta:
        verbose_name = _("addendum")
        verbose_name_plural = _("addenda")
        ordering = ["written_at"]
        constraints = [
            Sealed(name="addendum_stays", by="", erased_with="visit.case.patient"),
            Journaled(name="addendum_journaled"),
        ]

    def __str__(self) -> str:
        return f"Addendum to {self.visit}"
