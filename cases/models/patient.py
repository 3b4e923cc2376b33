"""The person."""

import datetime
from collections.abc import Iterable
from typing import Self

from django.conf import settings
from django.db import models, transaction
from django.db.models import Max, Q
from django.utils.translation import gettext_lazy as _

from cases.clinical.names import alike, fold
from clinic import fetched
from clinic.journal import Journaled
from clinic.models import Clinic, ClinicOwned, ClinicQuerySet, Erasure, Staff
from clinic.models.erasure import as_printed


def languages() -> list[tuple[str, str]]:
    """Each language that the patient's paper has a catalog for, by its code."""
    return settings.LANGUAGES


class PatientQuerySet(ClinicQuerySet):
    def named(self, text: str) -> Self:
        """Patients whose record number is `text`, or whose name has each of its words at a word's start."""
        text = text.replace("\0", " ").strip()  # PostgreSQL refuses to look for it
        if text:
            fetched.searched()
        if text.isdecimal():
            return self.filter(record_number=int(text))
        found = self
        for word in fold(text).split():
            found = found.filter(
                Q(search_name__startswith=word) | Q(search_name__contains=f" {word}")
            )
        return found

    def numbered(self, record_number: int) -> "Patient | None":
        return self.filter(record_number=record_number).first()

    def records_of(self, numbers: Iterable[int | None]) -> dict[int, str]:
        """The record numbers of patients as they are printed; no patient's data is read."""
        found = self.filter(pk__in=numbers).values_list("pk", "record_number")
        return {pk: as_printed(number) for pk, number in found}

    SORTS = {"name": "search_name", "record": "record_number", "born": "born"}

    def sorted_by(self, key: str) -> Self:
        """In the order of one of SORTS, backwards with a minus before it; anything else means by name."""
        column = self.SORTS.get(key.removeprefix("-"), "search_name")
        sign = "-" if key.startswith("-") and key[1:] in self.SORTS else ""
        return self.order_by(f"{sign}{column}", "pk")

    def born_on(self, days: Iterable[datetime.date]) -> Self:
        return self.filter(born__in=days)

    def likely(self, *, given_name: str, family_name: str, born: datetime.date) -> list["Patient"]:
        """Records that may be the same person: born the same day, with a name that is alike."""
        name = f"{given_name} {family_name}"
        return [patient for patient in self.filter(born=born) if alike(name, str(patient))]

    def next_number(self, clinic: Clinic) -> int:
        """The next record number; nobody else gets one of this clinic until the transaction ends."""
        clinic.locked()
        # The number of a record that was erased names nobody else.
        used = (
            rows.of(clinic).aggregate(last=Max("record_number")) for rows in (self, Erasure.objects)
        )
        return max(one["last"] or 0 for one in used) + 1

    @transaction.atomic
    def register_all(self, clinic: Clinic, patients: list["Patient"]) -> None:
        """Keep many people at once, with the clinic's next record numbers in their order."""
        for number, patient in enumerate(patients, start=self.next_number(clinic)):
            patient.clinic, patient.record_number = clinic, number
            patient._name_for_search()
        self.bulk_create(patients)


class Patient(ClinicOwned):
    """A person who comes to the clinic; what front desk may see of them is all here."""

    class Sex(models.TextChoices):
        FEMALE = "female", _("female")
        MALE = "male", _("male")
        UNSTATED = "unstated", _("not stated")

    class Handedness(models.TextChoices):
        RIGHT = "right", _("right-handed")
        LEFT = "left", _("left-handed")
        BOTH = "both", _("uses both hands alike")
        UNSTATED = "unset", _("handedness not stated")

    class PrintSize(models.TextChoices):
        NORMAL = "normal", _("normal (12 pt)")
        LARGE = "large", _("large (18 pt)")

    record_number = models.PositiveIntegerField(_("record number"), editable=False)
    given_name = models.CharField(_("given name"), max_length=80)
    family_name = models.CharField(_("family name"), max_length=80)
    born = models.DateField(_("born"))
    sex = models.CharField(
        _("sex for reference values"),
        max_length=10,
        choices=Sex,
        help_text=_("Grip tables are printed for women and men."),
    )
    handedness = models.CharField(_("handedness"), max_length=5, choices=Handedness)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    language = models.CharField(_("language"), max_length=2, choices=languages, default="en")
    print_size = models.CharField(
        _("print size"), max_length=6, choices=PrintSize, default=PrintSize.NORMAL
    )
    mail_agreed = models.BooleanField(_("agrees to e-mail about appointments"), default=False)
    mail_answered_on = models.DateField(
        _("answered about e-mail on"), null=True, blank=True, editable=False
    )
    mail_answered_by = models.ForeignKey(
        Staff, null=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    mail_refused_at = models.DateTimeField(_("address refused at"), null=True, editable=False)
    suits_weekdays = models.JSONField(_("weekdays that suit"), default=list, blank=True)
    suits_parts = models.JSONField(_("times of day that suit"), default=list, blank=True)
    search_name = models.CharField(max_length=170, editable=False)
    registered_at = models.DateTimeField(_("registered"), auto_now_add=True)

    objects = PatientQuerySet.as_manager()

    class Meta:
        verbose_name = _("patient")
        verbose_name_plural = _("patients")
        indexes = [
            models.Index(name="patient_by_name", fields=["clinic", "search_name"]),
            models.Index(name="patient_by_birth", fields=["clinic", "born"]),
        ]
        constraints = [
            models.UniqueConstraint(
                name="patient_record_number_once", fields=["clinic", "record_number"]
            ),
            models.CheckConstraint(
                name="patient_born_after_1900",
                condition=Q(born__gte=datetime.date(1900, 1, 1)),
                violation_error_message=_("Enter a birth date after 1900."),
            ),
            models.CheckConstraint(
                name="patient_agreed_to_mail_by_name",
                condition=Q(mail_agreed=False)
                | Q(mail_answered_on__isnull=False, mail_answered_by__isnull=False) & ~Q(email=""),
                violation_error_message=_(
                    "Who agrees to e-mail has an address, and somebody has recorded it."
                ),
            ),
            Journaled(name="patient_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.given_name} {self.family_name}"

    @classmethod
    def from_db(cls, db, field_names, values):
        patient = super().from_db(db, field_names, values)
        fetched.loaded(patient.pk)
        return patient

    def save(self, **kwargs) -> None:
        self._name_for_search()
        super().save(**kwargs)

    def _name_for_search(self) -> None:
        self.search_name = fold(f"{self.family_name} {self.given_name}")

    @property
    def patient_key(self) -> int:
        """The number that the audit trail knows the patient by."""
        return self.pk

    @property
    def record(self) -> str:
        """The record number as it is printed."""
        return as_printed(self.record_number)

    @property
    def may_be_mailed(self) -> bool:
        """Whether an e-mail about an appointment may be sent, and has a chance to arrive."""
        return self.mail_agreed and self.mail_refused_at is None

    def answer_about_mail(self, *, by: Staff, on: datetime.date) -> None:
        """Sign and date the answer that `mail_agreed` holds now; the caller saves."""
        self.mail_answered_by, self.mail_answered_on = by, on

    def refuse_mail(self, *, at: datetime.datetime) -> None:
        """The address does not exist or lets nothing in; nothing is sent there until another is typed."""
        self.mail_refused_at = at
        self.save(update_fields=["mail_refused_at"])

    @transaction.atomic
    def register(self, clinic: Clinic) -> None:
        """Give the person the clinic's next record number and keep them."""
        self.clinic, self.record_number = clinic, Patient.objects.next_number(clinic)
        self.save()
