"""The clinic itself, and what every row that belongs to one has in common."""

import zoneinfo
from typing import Self

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clinic.journal import Journaled


def check_time_zone(name: str) -> None:
    if name not in zoneinfo.available_timezones():
        raise ValidationError(_("%(name)s is not a time zone."), params={"name": name})


SHORTEST, LONGEST = 5, 240  # minutes; a longer appointment is a slip of the keyboard
# Kinds of appointment with the minutes to begin with: common practice, no source; each clinic sets its own.
LENGTHS = {"first": 45, "follow_up": 30, "review": 30, "discharge": 30}


# Minutes without anybody there, and hours in all, after which one signs in again. The longest are those of
# NIST SP 800-63B (2017), 4.2.3; the shortest are our own: less would end a session within a visit.
IDLE_MINUTES, SESSION_HOURS = (5, 30), (1, 12)


def _within(limits: tuple[int, int]) -> list:
    least, most = limits
    return [MinValueValidator(least), MaxValueValidator(most)]


def _minutes(kind: str, label: str) -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(
        label, default=LENGTHS[kind], validators=_within((SHORTEST, LONGEST))
    )


# How long records are kept: to begin with, and the least and most that can be set. To begin with England's
# periods (Records Management Code 2021, read second-hand); the bounds are common practice, no source.
KEPT_YEARS = {
    "adult_years": (8, 5, 60),
    "child_until_age": (25, 18, 80),
    "child_until_age_if_17": (26, 18, 80),
}


def _years(name: str, label: str) -> models.PositiveSmallIntegerField:
    usual, least, most = KEPT_YEARS[name]
    return models.PositiveSmallIntegerField(label, default=usual, validators=_within((least, most)))


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
    reminder_days = models.PositiveSmallIntegerField(
        _("reminder by e-mail"),
        choices=[
            (0, _("none")),
            (1, _("1 day before")),
            (2, _("2 days before")),
            (3, _("3 days before")),
            (7, _("7 days before")),
        ],
        default=2,
    )
    paper = models.CharField(
        _("paper in the printer"), max_length=6, choices=PaperSize, default=PaperSize.A4
    )
    diagnosis_codes = models.CharField(
        _("codes of diagnoses"),
        max_length=10,
        choices=[
            ("icd-10", _("ICD-10 (World Health Organization)")),
            ("icd-10-cm", _("ICD-10-CM (United States)")),
        ],
        default="icd-10",
        db_default="icd-10",
    )
    snomed_licence = models.CharField(
        _("SNOMED CT licence"),
        max_length=120,
        blank=True,
        default="",
        db_default="",
        help_text=_("Its codes leave the clinic only while a licence is stated."),
    )
    first_minutes = _minutes("first", _("first visit"))
    follow_up_minutes = _minutes("follow_up", _("follow-up"))
    review_minutes = _minutes("review", _("review"))
    discharge_minutes = _minutes("discharge", _("discharge"))

    idle_minutes = models.PositiveSmallIntegerField(
        _("minutes without anybody there"),
        default=IDLE_MINUTES[1],
        validators=_within(IDLE_MINUTES),
    )
    session_hours = models.PositiveSmallIntegerField(
        _("hours in all"), default=SESSION_HOURS[1], validators=_within(SESSION_HOURS)
    )

    managers_need_code = models.BooleanField(
        _("managers sign in with a code too"),
        default=False,
        help_text=_("A manager without an authenticator app is led to setting it up first."),
    )
    adult_years = _years("adult_years", _("years after the last contact"))
    child_until_age = _years(
        "child_until_age", _("until the birthday, under 17 at the last contact")
    )
    child_until_age_if_17 = _years(
        "child_until_age_if_17", _("until the birthday, 17 at the last contact")
    )
    correction_days = models.PositiveSmallIntegerField(
        _("days to answer a request for correction"),
        choices=[(30, _("30 days")), (60, _("60 days"))],
        default=30,
    )

    # From `open_clinic` until its manager puts the page "Setting up" away (`clinic/set_up.py`).
    being_set_up = models.BooleanField(
        _("being set up"), default=False, db_default=False, editable=False
    )

    class Meta:
        verbose_name = _("clinic")
        verbose_name_plural = _("clinics")
        constraints = [
            Journaled(name="clinic_journaled"),
            *(
                models.CheckConstraint(
                    name=f"clinic_{kind}_minutes_in_range",
                    condition=models.Q(**{f"{kind}_minutes__range": (SHORTEST, LONGEST)}),
                    violation_error_message=_("An appointment takes 5 to 240 minutes."),
                )
                for kind in LENGTHS
            ),
            *(
                models.CheckConstraint(
                    name=f"clinic_{name}_in_range",
                    condition=models.Q(**{f"{name}__range": KEPT_YEARS[name][1:]}),
                    violation_error_message=_("Check the years that records are kept."),
                )
                for name in KEPT_YEARS
            ),
            models.CheckConstraint(
                name="clinic_idle_minutes_in_range",
                condition=models.Q(idle_minutes__range=IDLE_MINUTES),
                violation_error_message=_("A session without anybody there lasts 5 to 30 minutes."),
            ),
            models.CheckConstraint(
                name="clinic_session_hours_in_range",
                condition=models.Q(session_hours__range=SESSION_HOURS),
                violation_error_message=_("A session lasts 1 to 12 hours."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def can_be_reached(self) -> bool:
        """Whether a sheet can say where the clinic is, and whom to call: a new one is told it later."""
        return bool(self.address and self.phone and self.emergency_phone)

    def locked(self) -> "Clinic":
        """The clinic read anew, and held until the transaction ends; others may still write rows of it."""
        return Clinic.objects.select_for_update(no_key=True).get(pk=self.pk)

    def own_time(self) -> timezone.override:
        """Days and times inside are the clinic's; outside of a request they are UTC's."""
        return timezone.override(zoneinfo.ZoneInfo(self.time_zone))

    def usual_minutes(self, kind: str) -> int:
        """How long an appointment of a kind, such as "follow-up", takes unless something else is typed."""
        return getattr(self, f"{kind.replace('-', '_')}_minutes")


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
