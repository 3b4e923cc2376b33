"""What the arm has to do at sport, at work and at home: the part of the intake that is about load."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.clinical import exposure

A_DAY, A_WEEK, A_LIFE = (0, 24), (0, 168), (0, 90)


def range_check(
    name: str, field: str, least: float, most: float, says: str
) -> models.CheckConstraint:
    """Return the rule that a number is empty or from `least` to `most`."""
    return models.CheckConstraint(
        name=name,
        condition=Q(**{f"{field}__isnull": True}) | Q(**{f"{field}__range": (least, most)}),
        violation_error_message=says,
    )


def week_check(field: str) -> models.CheckConstraint:
    return range_check(f"intake_{field}_of_a_week", field, *A_WEEK, _("A week has 168 hours."))


class LoadHistory(models.Model):
    """Hours are hours a week, but for the bent wrist (a day); empty is "not asked"."""

    class Backhand(models.TextChoices):
        ONE = "one", _("one hand")
        TWO = "two", _("two hands")
        BOTH = "both", _("both ways")

    class GripSize(models.TextChoices):
        L0 = "L0", _("L0, 4 in")
        L1 = "L1", _("L1, 4⅛ in")
        L2 = "L2", _("L2, 4¼ in")
        L3 = "L3", _("L3, 4⅜ in")
        L4 = "L4", _("L4, 4½ in")
        L5 = "L5", _("L5, 4⅝ in")

    class TensionUnit(models.TextChoices):
        POUND = "lbf", _("lb")
        KILOGRAM = "kgf", _("kg")
        NEWTON = "N", _("N")

    racket_sport = models.BooleanField(_("racket sport"), null=True, blank=True)
    racket_years = models.SmallIntegerField(_("years of play"), null=True, blank=True)
    racket_hours = models.FloatField(_("play now"), null=True, blank=True)
    racket_hours_before = models.FloatField(_("play 8 weeks before"), null=True, blank=True)
    backhand = models.CharField(_("backhand"), max_length=4, choices=Backhand, blank=True)
    grip_size = models.CharField(_("grip size"), max_length=2, choices=GripSize, blank=True)
    string_tension = models.FloatField(_("string tension"), null=True, blank=True)
    string_tension_unit = models.CharField(
        _("unit of the tension"), max_length=3, choices=TensionUnit, blank=True
    )
    racket_change = models.CharField(_("what changed"), max_length=200, blank=True)
    work_force = models.BooleanField(_("forceful work"), null=True, blank=True)
    work_repetition = models.BooleanField(_("repetitive work"), null=True, blank=True)
    work_twisting = models.BooleanField(_("repeated twisting"), null=True, blank=True)
    work_tools = models.BooleanField(_("tools over 1 kg"), null=True, blank=True)
    work_heavy = models.BooleanField(_("handling over 20 kg"), null=True, blank=True)
    work_bent_hours = models.FloatField(_("wrist bent, a day"), null=True, blank=True)
    screen_hours = models.FloatField(_("at a screen"), null=True, blank=True)
    music = models.CharField(_("instrument"), max_length=120, blank=True)
    music_hours = models.FloatField(_("playing music"), null=True, blank=True)
    crafts = models.CharField(_("crafts"), max_length=120, blank=True)
    crafts_hours = models.FloatField(_("at crafts"), null=True, blank=True)
    gardening_hours = models.FloatField(_("gardening"), null=True, blank=True)

    RACKET = (
        "racket_years",
        "racket_hours",
        "racket_hours_before",
        "backhand",
        "grip_size",
        "string_tension",
        "racket_change",
    )
    WORK_YES_NO = ("work_force", "work_repetition", "work_twisting", "work_tools", "work_heavy")
    WEEKLY = (
        "racket_hours",
        "racket_hours_before",
        "screen_hours",
        "music_hours",
        "crafts_hours",
        "gardening_hours",
    )
    CHECKS = (
        *(week_check(field) for field in WEEKLY),
        range_check(
            "intake_bent_hours_of_a_day", "work_bent_hours", *A_DAY, _("A day has 24 hours.")
        ),
        range_check("intake_years_of_a_life", "racket_years", *A_LIFE, _("Years from 0 to 90.")),
        range_check(
            "intake_tension_above_0", "string_tension", 1, 400, _("Check the number and its unit.")
        ),
    )

    class Meta:
        abstract = True

    @property
    def racket_answered(self) -> bool:
        """Whether anything about a racket is written down."""
        return any(getattr(self, name) not in (None, "") for name in self.RACKET)

    @property
    def string_tension_n(self) -> float | None:
        if self.string_tension is None or not self.string_tension_unit:
            return None
        return exposure.tension_n(self.string_tension, self.string_tension_unit)

    def load_history(self) -> exposure.LoadHistory:
        """The answers, as the rules take them."""
        return exposure.LoadHistory(
            **{name: getattr(self, name) for name in exposure.LoadHistory.__dataclass_fields__}
        )
