"""The clinic's own exercises beside the catalog's, and those of the catalog that it leaves out."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.constraints import Sealed
from clinic.models import ClinicOwned


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

    class Meta:
        verbose_name = _("exercise of the clinic")
        verbose_name_plural = _("exercises of the clinic")
        constraints = [
            models.UniqueConstraint(
                name="own_card_edition_once", fields=["clinic", "code", "edition"]
            ),
            Sealed(name="own_card_stays", by=""),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.edition})"


class HiddenCard(ClinicOwned):
    """A card of the catalog that a clinic does not offer."""

    card = models.SlugField(_("exercise"), max_length=40)

    class Meta:
        verbose_name = _("exercise left out")
        verbose_name_plural = _("exercises left out")
        constraints = [models.UniqueConstraint(name="hidden_card_once", fields=["clinic", "card"])]

    def __str__(self) -> str:
        return self.card
