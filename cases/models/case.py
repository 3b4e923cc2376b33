"""One episode at one elbow."""

import datetime
from collections.abc import Iterable
from functools import cached_property
from typing import Self

from django.db import models
from django.db.models import Count, Exists, F, OuterRef, Q, Window
from django.utils.translation import gettext_lazy as _

from cases.clinical.findings import FindingAnswer, familiar_on
from cases.clinical.sides import Side
from cases.models.patient import Patient
from clinic.constraints import LookedAt
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff


class CaseQuerySet(ClinicQuerySet):
    def open(self) -> Self:
        return self.filter(status=Case.Status.OPEN)

    def closed(self) -> Self:
        return self.exclude(status=Case.Status.OPEN)

    def open_or(self, pk: int | None) -> Self:
        """Open cases, and the one that a booking names already."""
        return self.filter(Q(status=Case.Status.OPEN) | Q(pk=pk))

    def open_of(self, *patients: Patient) -> Self:
        """The open cases of the patients, the elbows of each in a fixed order."""
        return self.open().filter(patient__in=patients).with_people().order_by("side", "pk")

    def at(self, side: str) -> Self:
        return self.filter(side=side)

    def led_by(self, staff: Staff) -> Self:
        return self.filter(lead=staff)

    def due_by(self, day: datetime.date) -> Self:
        return self.filter(due_on__lte=day)

    def without_booking(self, *, after: datetime.datetime) -> Self:
        """Cases that have no appointment from `after` on, but for cancelled and missed ones."""
        # The appointment names the case, not the other way round.
        from cases.models.appointment import Appointment

        standing = Appointment.objects.standing(after=after).filter(case=OuterRef("pk"))
        return self.filter(~Exists(standing))

    def not_declined(self) -> Self:
        """Without those whose patient has said last that they want no more visits."""
        return self.filter(~Exists(_declined()))

    def declined(self) -> Self:
        """Those whose patient wants no more visits: somebody who leads the case is to close it."""
        return self.filter(Exists(_declined()))

    def without_date(self) -> Self:
        return self.filter(due_on=None)

    def whose_patient_is_named(self, text: str) -> Self:
        return self.filter(patient__in=Patient.objects.named(text)) if text.strip() else self

    def most_overdue_first(self) -> Self:
        return self.order_by("due_on", "pk")

    def newest_first(self) -> Self:
        return self.order_by("-opened", "-pk")

    def counted(self) -> Self:
        """Each with how many there are as `in_all`: the first of them and their number come in one query."""
        return self.annotate(in_all=Window(Count("pk")))

    def with_people(self) -> Self:
        return self.select_related("patient", "lead")


def another_open(case: str) -> Exists:
    """For an annotation: whether the patient of the case that `case` leads to has another open one."""
    others = Case.objects.open().filter(patient=OuterRef(f"{case}patient"))
    return Exists(others.exclude(pk=OuterRef(f"{case}pk")))


def _declined() -> models.QuerySet:
    # The contact names the case, not the other way round.
    from cases.models.contact import Contact

    of_case = Contact.objects.filter(case=OuterRef("pk"))
    later = Contact.objects.filter(case=OuterRef("case"), pk__gt=OuterRef("pk"))
    return of_case.filter(~Exists(later), outcome=Contact.Outcome.DECLINED)


class Case(ClinicOwned):
    """One episode of lateral elbow tendinopathy at one elbow; a person with both has two cases."""

    belongs_to = "patient"

    class SideChoice(models.TextChoices):
        RIGHT = Side.RIGHT.value, _("right")
        LEFT = Side.LEFT.value, _("left")

    class Status(models.TextChoices):
        OPEN = "open", _("open")
        DISCHARGED = "discharged", _("discharged")
        DECLINED = "declined", _("declined")

    patient = models.ForeignKey(
        Patient, on_delete=models.PROTECT, related_name="cases", verbose_name=_("patient")
    )
    side = models.CharField(_("elbow"), max_length=5, choices=SideChoice)
    onset = models.DateField(_("began on"), help_text=_("The day, or the best guess."))
    opened = models.DateField(_("opened on"))
    lead = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="cases", verbose_name=_("led by")
    )
    status = models.CharField(_("status"), max_length=10, choices=Status, default=Status.OPEN)
    closed = models.DateField(_("closed on"), null=True, blank=True)
    discharge_reason = models.CharField(_("reason"), max_length=200, blank=True)
    due_on = models.DateField(_("due back"), null=True, blank=True)

    objects = CaseQuerySet.as_manager()

    class Meta:
        verbose_name = _("case")
        verbose_name_plural = _("cases")
        indexes = [
            models.Index(name="case_due", fields=["clinic", "status", "due_on"]),
            models.Index(name="case_by_lead", fields=["lead", "status"]),
        ]
        constraints = [
            models.UniqueConstraint(
                name="case_one_open_an_elbow",
                fields=["patient", "side"],
                condition=Q(status="open"),
                violation_error_message=_("This elbow has an open case already."),
            ),
            models.CheckConstraint(
                name="case_began_before_opening",
                condition=Q(onset__lte=F("opened")),
                violation_error_message=_("The complaint can't begin after the case was opened."),
            ),
            models.CheckConstraint(
                name="case_closed_has_a_day",
                condition=Q(status="open", closed__isnull=True)
                | (~Q(status="open") & Q(closed__gte=F("opened"))),
                violation_error_message=_(
                    "A closed case needs the day it was closed, not before opening."
                ),
            ),
            LookedAt(name="case_looked_at"),
            Journaled(name="case_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.patient}, {self.get_side_display()}"

    @property
    def is_open(self) -> bool:
        return self.status == self.Status.OPEN

    @property
    def affected(self) -> Side:
        return Side(self.side)

    @cached_property
    def has_another_open(self) -> bool:
        """Whether the patient has an open case beside this one: of the other elbow.

        A case of `cases.access` knows it.
        """
        return self.patient.cases.open().exclude(pk=self.pk).exists()

    def other_side_sore(self, findings: Iterable) -> bool | None:
        """Whether the other elbow is no yardstick: it has an open case of its own, or hurt in these findings.

        None when the findings, of one round of the battery, have no test of it.
        """
        if self.has_another_open:
            return True
        return familiar_on(
            self.affected.other, ((Side(row.side), FindingAnswer(row.answer)) for row in findings)
        )

    def days_since_opening(self, *, on: datetime.date) -> int:
        return (on - self.opened).days

    def set_due(self, day: datetime.date | None) -> None:
        self.due_on = day
        self.save(update_fields=["due_on"])

    def close(self, status: "Case.Status", *, on: datetime.date, reason: str) -> None:
        """End the episode, discharged or declined; the patient is due no more."""
        self.status, self.closed, self.discharge_reason, self.due_on = status, on, reason, None
        self.save(update_fields=["status", "closed", "discharge_reason", "due_on"])
