"""The clinic itself, and what every row that belongs to one has in common."""

import zoneinfo
from typing import Self

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _


def check_time_zone(name: str) -> None:
    if name not in zoneinfo.available_timezones():
        raise ValidationError(_("%(name)s is not a time zone."), params={"name": name})


class Clinic(models.Model):
    """One practice at one address; everything clinical belongs to exactly one."""

    class GripUnit(models.TextChoices):
        NEWTON = "N", _("N (newton)")
        KILOGRAM = "kgf", _("kg (kilogram-force)")
        POUND = "lbf", _("lb (pound-force)")

    class PaperSize(models.TextChoices):
        A4 = "A4", _("A4 (210 × 297 mm)")
        LETTER = "letter", _("US letter (8.5 × 11 in)")

    name = models.CharField(_("name"), max_length=120)
    address = models.TextField(_("address"))
    phone = models.CharField(_("phone"), max_length=40)
    email = models.EmailField(_("e-mail"), blank=True)
    emergency_phone = models.CharField(
        _("emergency number"),
        max_length=20,
        help_text=_("Printed on the home program: whom a patient calls in an emergency."),
    )
    time_zone = models.CharField(
        _("time zone"), max_length=60, default="UTC", validators=[check_time_zone]
    )
    grip_unit = models.CharField(
        _("unit on the dynamometer"),
        max_length=3,
        choices=GripUnit,
        default=GripUnit.KILOGRAM,
    )
    grip_rest_s = models.PositiveSmallIntegerField(
        _("rest between grip trials"),
        choices=[(30, _("30 seconds")), (60, _("60 seconds"))],
        default=30,
    )
    paper = models.CharField(
        _("paper in the printer"), max_length=6, choices=PaperSize, default=PaperSize.A4
    )

    class Meta:
        verbose_name = _("clinic")
        verbose_name_plural = _("clinics")

    def __str__(self) -> str:
        return self.name


class ClinicQuerySet(models.QuerySet):
    """Rows of one clinic; every page reads through `of`."""

    def of(self, clinic: Clinic | int) -> Self:
        return self.filter(clinic=clinic)


class ClinicOwned(models.Model):
    """A row that belongs to one clinic: its own, or that of the row named in `belongs_to`."""

    belongs_to: str | None = None

    clinic = models.ForeignKey(
        Clinic, on_delete=models.PROTECT, editable=False, related_name="+", verbose_name=_("clinic")
    )

    objects = ClinicQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, **kwargs) -> None:
        if self.clinic_id is None and self.belongs_to:
            self.clinic_id = getattr(self, self.belongs_to).clinic_id
        super().save(**kwargs)
