"""The clinic's own exercises beside the catalog's, and those of the catalog that it leaves out."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed
from clinic.evidence import Status
from clinic.journal import Journaled
from clinic.models import Clinic, ClinicOwned, ClinicQuerySet
from rehab.clinical.exercises import Card, Dose

OWN = "own-"


class OwnCardQuerySet(ClinicQuerySet):
    def newest(self) -> dict[str, "OwnCard"]:
        """The last edition of each exercise by its code, in the order in which they were first written."""
        return {card.code: card for card in self.order_by("code", "edition")}

    def editions(self, code: str) -> models.QuerySet["OwnCard"]:
        """Every edition of one exercise, the newest first."""
        return self.filter(code=code).order_by("-edition")


class OwnCard(ClinicOwned):
    """One edition of an exercise that a clinic has written itself; a change is a new edition."""

    code = models.SlugField(_("code"), max_length=40)
    edition = models.PositiveSmallIntegerField(_("edition"), default=1)
    name = models.CharField(_("name"), max_length=60)
    start = models.TextField(_("start"))
    steps = models.JSONField(_("steps"))
    usual_mistake = models.CharField(_("usual mistake"), max_length=300)
    caution = models.CharField(_("caution"), max_length=300, blank=True)
    equipment = models.CharField(_("equipment"), max_length=200)
    structures = models.CharField(_("structures loaded"), max_length=200)
    stages = models.JSONField(_("stages"))
    dose = models.JSONField(_("usual dose"))
    gate = models.CharField(_("opens when"), max_length=200, blank=True)
    source = models.CharField(_("source"), max_length=300)
    retired = models.BooleanField(_("no longer offered"), default=False)

    objects = OwnCardQuerySet.as_manager()

    class Meta:
        verbose_name = _("exercise of the clinic")
        verbose_name_plural = _("exercises of the clinic")
        constraints = [
            models.UniqueConstraint(
                name="own_card_edition_once", fields=["clinic", "code", "edition"]
            ),
            Sealed(name="own_card_stays", by=""),
            Journaled(name="own_card_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.edition})"

    @property
    def as_card(self) -> Card:
        """The exercise as the catalog's are; nobody but the clinic answers for its dose."""
        dose = Dose(**self.dose)
        return Card(
            code=self.code,
            name=self.name,
            start=self.start,
            steps=tuple(self.steps),
            usual_mistake=self.usual_mistake,
            caution=self.caution,
            equipment=self.equipment,
            structures=self.structures,
            stages=tuple(self.stages),
            dose=dose,
            usual_dose=str(dose.headline()),
            gate=self.gate or "None",
            source=self.source,
            status=Status.CLINIC_SETTING,
        )

    @classmethod
    def next_code(cls, clinic: Clinic) -> str:
        """The code of the next exercise that a clinic writes; its number never comes twice."""
        written = cls.objects.of(clinic).values("code").distinct().count()
        return f"{OWN}{written + 1:03}"

    def write(self, clinic: Clinic, *, code: str | None = None) -> None:
        """Keep this as a new exercise, or as the next edition of the exercise `code`."""
        self.clinic, self.code = clinic, code or self.next_code(clinic)
        before = OwnCard.objects.of(clinic).editions(self.code).first()
        self.pk, self.edition = None, before.edition + 1 if before else 1
        self.save(force_insert=True)


class HiddenCardQuerySet(ClinicQuerySet):
    def codes(self) -> frozenset[str]:
        return frozenset(self.values_list("card", flat=True))


class HiddenCard(ClinicOwned):
    """A card of the catalog that a clinic does not offer."""

    card = models.SlugField(_("exercise"), max_length=40)

    objects = HiddenCardQuerySet.as_manager()

    class Meta:
        verbose_name = _("exercise left out")
        verbose_name_plural = _("exercises left out")
        constraints = [
            models.UniqueConstraint(name="hidden_card_once", fields=["clinic", "card"]),
            Journaled(name="hidden_card_journaled"),
        ]

    def __str__(self) -> str:
        return self.card
