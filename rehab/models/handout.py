"""The sheets that were handed out: each is kept as it was, whatever is changed afterwards."""

import hashlib
from typing import TYPE_CHECKING, Self

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from cases.models import Case, Patient, Visit
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet, Staff
from clinic.roles import Capability
from rehab.models.program import Program

if TYPE_CHECKING:
    from rehab.models.pack import Pack

# What a sheet can be about.
About = Patient | Case | Visit | Program


def digest(data: bytes) -> str:
    """The SHA-256 of a file in hexadecimal figures (NIST FIPS 180-4)."""
    return hashlib.sha256(data).hexdigest()


class Altered(ValueError):
    """The stored bytes are not those that were handed out."""

    def __init__(self, handout: "Handout"):
        super().__init__(handout.name)
        self.handout = handout


def case_of(about: About) -> Case | None:
    """The case of what a sheet is about: none where it is about the patient."""
    match about:
        case Patient():
            return None
        case Case():
            return about
    return about.case


def patient_of(about: About) -> Patient:
    return about if isinstance(about, Patient) else case_of(about).patient


class HandoutFile(ClinicOwned):
    """The bytes of one sheet, in a table of their own: a list of what was handed out never loads them."""

    sha256 = models.CharField(_("SHA-256"), max_length=64)
    content = models.BinaryField(_("content"))

    class Meta:
        verbose_name = _("file of a handout")
        verbose_name_plural = _("files of handouts")
        constraints = [
            models.UniqueConstraint(name="handout_file_once", fields=["clinic", "sha256"]),
            Sealed(name="handout_file_stays", by="", erased_with="handouts.patient"),
        ]

    def __str__(self) -> str:
        return self.sha256[:12]


class HandoutQuerySet(ClinicQuerySet):
    def shown_to(self, user: Staff) -> Self:
        """What the person might print themselves: the front desk no record of a visit and no course."""
        kinds = [kind for kind in Handout.Kind if user.may(kind.needs)]
        return self.of(user.clinic).filter(kind__in=kinds)

    def given_to(self, patient: Patient) -> Self:
        """All of one patient, the newest first."""
        rows = self.filter(patient=patient).select_related("case", "program", "printed_by")
        return rows.order_by("-printed_at", "-pk")

    def in_pack(self, pack: "Pack") -> Self:
        """The sheets of one pack, in the order in which they were put in."""
        return self.filter(packs=pack).select_related("case").order_by("pk")

    def with_bytes(self) -> Self:
        return self.select_related("file")

    @transaction.atomic(savepoint=False)
    def keep(
        self,
        data: bytes,
        *,
        kind: "Handout.Kind",
        about: About,
        language: str,
        name: str,
        by: Staff,
    ) -> "Handout":
        """Keep a sheet about one of these; bytes kept before are not stored twice."""
        case, patient = case_of(about), patient_of(about)
        file, _new = HandoutFile.objects.get_or_create(
            clinic_id=patient.clinic_id, sha256=digest(data), defaults={"content": data}
        )
        return self.create(
            patient=patient,
            clinic_id=patient.clinic_id,
            case=case,
            program=about if isinstance(about, Program) else None,
            kind=kind,
            printed_by=by,
            language=language,
            name=name,
            sha256=file.sha256,
            size=len(data),
            file=file,
        )


class Handout(ClinicOwned):
    """One sheet as it was printed for one patient, and the mark by which its bytes are known again."""

    belongs_to = "patient"

    class Kind(models.TextChoices):
        HOME_PROGRAM = "home program", _("home program")
        DIARY_PAGE = "diary page", _("diary page")
        RETURN_PLAN = "return plan", _("return plan")
        VISIT_RECORD = "visit record", _("record of a visit")
        COURSE = "course", _("course")
        APPOINTMENT_CARD = "appointment card", _("appointment card")
        SELF_CHECK = "self-check sheet", _("self-check sheet")
        SUMMARY = "summary", _("summary")
        REFERRAL_LETTER = "referral letter", _("referral letter")
        REFUSAL_LETTER = "refusal letter", _("letter about a refused request")
        HOME_PROGRAM_PAGE = "home program page", _("home program as a page")
        SUMMARY_PAGE = "summary page", _("summary as a page")

        @property
        def is_page(self) -> bool:
            """A page is saved as a file and sent; everything else is a PDF, which is printed."""
            return self in (Handout.Kind.HOME_PROGRAM_PAGE, Handout.Kind.SUMMARY_PAGE)

        @property
        def needs(self) -> Capability:
            kinds = Handout.Kind
            clinical = (
                kinds.VISIT_RECORD,
                kinds.COURSE,
                kinds.SUMMARY,
                kinds.REFERRAL_LETTER,
                kinds.REFUSAL_LETTER,
                kinds.SUMMARY_PAGE,
            )
            return Capability.READ_CLINICAL if self in clinical else Capability.PRINT

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="handouts")
    case = models.ForeignKey(
        Case, null=True, blank=True, on_delete=models.PROTECT, related_name="handouts"
    )
    program = models.ForeignKey(
        Program, null=True, blank=True, on_delete=models.PROTECT, related_name="handouts"
    )
    kind = models.CharField(_("sheet"), max_length=20, choices=Kind)
    printed_at = models.DateTimeField(_("printed"), default=timezone.now)
    printed_by = models.ForeignKey(
        Staff, on_delete=models.PROTECT, related_name="+", verbose_name=_("printed by")
    )
    language = models.CharField(_("language"), max_length=10)
    name = models.CharField(_("file name"), max_length=120)
    sha256 = models.CharField(_("SHA-256"), max_length=64)
    size = models.PositiveIntegerField(_("size in bytes"))
    file = models.ForeignKey(HandoutFile, on_delete=models.PROTECT, related_name="handouts")

    objects = HandoutQuerySet.as_manager()

    class Meta:
        verbose_name = _("handout")
        verbose_name_plural = _("handouts")
        indexes = [models.Index(name="handout_of_patient", fields=["patient", "-printed_at"])]
        constraints = [
            Sealed(name="handout_stays", by="", erased_with="patient"),
            Journaled(name="handout_journaled"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def mark(self) -> str:
        """Enough of the SHA-256 to tell two sheets apart in the audit trail."""
        return self.sha256[:12]

    @property
    def is_page(self) -> bool:
        return Handout.Kind(self.kind).is_page

    def as_it_was(self) -> bytes:
        """The very bytes. Raises Altered when they are not those that were handed out."""
        data = bytes(self.file.content)
        if digest(data) != self.sha256:
            raise Altered(self)
        return data
