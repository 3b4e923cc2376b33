"""The picture at the head of a clinic's paper, in the database like all else that a clinic has."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from clinic.models.clinic import Clinic


class LogoManager(models.Manager):
    def picture_of(self, clinic: Clinic) -> bytes:
        """The bytes of the clinic's logo, or none where it has no logo."""
        found = self.values_list("picture", flat=True).filter(clinic=clinic).first()
        return bytes(found or b"")

    def put(self, clinic: Clinic, picture: bytes) -> None:
        """Give the clinic this logo instead of the one that it had."""
        self.update_or_create(clinic=clinic, defaults={"picture": picture})

    def remove(self, clinic: Clinic) -> None:
        self.filter(clinic=clinic).delete()


class Logo(models.Model):
    """At most one a clinic. What kind of picture it is, its own bytes say."""

    clinic = models.OneToOneField(
        Clinic,
        on_delete=models.PROTECT,
        primary_key=True,
        editable=False,
        related_name="logo",
        verbose_name=_("clinic"),
    )
    picture = models.BinaryField(_("picture"))

    objects = LogoManager()

    class Meta:
        verbose_name = _("logo")
        verbose_name_plural = _("logos")

    def __str__(self) -> str:
        return str(self.clinic)
