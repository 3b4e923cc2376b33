"""The first history of a case."""

import datetime

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from cases.clinical.contradictions import Told
from cases.models.case import Case
from cases.models.load_history import LoadHistory, range_check
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet

PLACES = range(1, 6)


def pain_check(name: str, field: str) -> models.CheckConstraint:
    """Return the rule that a pain rating is empty or 0–10."""
    return models.CheckConstraint(
        name=name,
        condition=Q(**{f"{field}__isnull": True}) | Q(**{f"{field}__range": (0, 10)}),
        violation_error_message=_("Pain is a whole number from 0 to 10."),
    )


class Intake(LoadHistory, ClinicOwned):
    """What the patient tells at the start of a case."""

    belongs_to = "case"

    class Manner(models.TextChoices):
        GRADUAL = "gradual", _("came on gradually")
        LOAD = "load", _("came after a change of load")
        SUDDEN = "sudden", _("came suddenly")
        BLOW = "blow", _("came after a blow or a fall")

    class Fluoroquinolone(models.TextChoices):
        NO = "no", _("no")
        PAST = "past", _("yes, in the last months")
        NOW = "now", _("yes, now")

    class Place(models.TextChoices):
        EPICONDYLE = "epicondyle", _("on the outer bump or just below it")
        BELOW = "below", _("3–5 cm below it, in the forearm")
        ABOVE = "above", _("above it, on the ridge")
        BEHIND = "behind", _("behind it, at the joint line")
        ELSEWHERE = "elsewhere", _("somewhere else")
        NOWHERE = "nowhere", _("no one place")

    class Spread(models.TextChoices):
        FOREARM = "forearm", _("forearm")
        WRIST = "wrist", _("wrist or hand")
        UPPER_ARM = "upper-arm", _("upper arm")
        NECK = "neck", _("shoulder or neck")

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="intake")
    manner = models.CharField(_("how it began"), max_length=10, choices=Manner, blank=True)
    story = models.TextField(_("in the patient's words"), blank=True)
    occupation = models.CharField(_("occupation"), max_length=120, blank=True)
    sport = models.CharField(_("sport, music, crafts"), max_length=120, blank=True)
    found_at = models.CharField(_("where it hurts"), max_length=10, choices=Place, blank=True)
    spreads_to = models.JSONField(_("where it spreads"), default=list, blank=True)
    weak_grip = models.BooleanField(_("weak grip"), null=True, blank=True)
    night_pain = models.BooleanField(_("pain at night"), null=True, blank=True)
    stiff_minutes = models.SmallIntegerField(_("stiff in the morning"), null=True, blank=True)
    provoked_by = models.JSONField(_("what provokes it"), default=list, blank=True)
    rest_pain = models.SmallIntegerField(_("pain at rest"), null=True, blank=True)
    worst_pain = models.SmallIntegerField(_("worst pain in 24 h"), null=True, blank=True)
    nights_woken = models.SmallIntegerField(_("nights woken a week"), null=True, blank=True)
    lasts_over_24_h = models.BooleanField(
        _("lasts over 24 h after light use"), null=True, blank=True
    )
    earlier_episodes = models.SmallIntegerField(_("earlier episodes"), null=True, blank=True)
    earlier_treatment = models.TextField(_("earlier treatment"), blank=True)
    medicines = models.TextField(_("medicines"), blank=True)
    fluoroquinolone = models.CharField(
        _("fluoroquinolone antibiotic"), max_length=4, choices=Fluoroquinolone, blank=True
    )
    neck_pain = models.BooleanField(_("neck pain"), null=True, blank=True)
    other_joints = models.CharField(_("other joints"), max_length=200, blank=True)
    written_at = models.DateTimeField(_("saved"), auto_now=True)

    class Meta:
        verbose_name = _("intake")
        verbose_name_plural = _("intakes")
        constraints = [
            pain_check("intake_rest_pain_0_to_10", "rest_pain"),
            pain_check("intake_worst_pain_0_to_10", "worst_pain"),
            models.CheckConstraint(
                name="intake_nights_0_to_7",
                condition=Q(nights_woken__isnull=True) | Q(nights_woken__range=(0, 7)),
                violation_error_message=_("A week has 0 to 7 nights."),
            ),
            range_check(
                "intake_stiff_up_to_a_day", "stiff_minutes", 0, 1440, _("A day has 1440 minutes.")
            ),
            range_check(
                "intake_episodes_0_to_50", "earlier_episodes", 0, 50, _("Episodes from 0 to 50.")
            ),
            *LoadHistory.CHECKS,
            Journaled(name="intake_journaled"),
        ]

    def __str__(self) -> str:
        return f"Intake of {self.case}"

    @classmethod
    def of_case(cls, case: Case) -> "Intake":
        """Return what is written of the case's history, or an intake that is still to be written."""
        return getattr(case, "intake", None) or cls(case=case)

    def told(self, *, steroid_injected: bool, screened: dict[str, str]) -> Told:
        """The answers that others may contradict; `screened` maps question to answer."""
        compared = (
            "manner",
            "night_pain",
            "nights_woken",
            "rest_pain",
            "worst_pain",
            "stiff_minutes",
            "neck_pain",
            "racket_sport",
            "racket_answered",
            "fluoroquinolone",
        )
        return Told(
            **{name: getattr(self, name) for name in compared},
            steroid_injected=steroid_injected,
            screened=screened,
        )


class InjectionQuerySet(ClinicQuerySet):
    def replace(self, case: Case, given: list[tuple[datetime.date, str]]) -> "list[Injection]":
        """Make the case's injections those `given` as date and substance."""
        known = {(row.given_on, row.substance): row for row in self.filter(case=case)}
        for gone in known.keys() - set(given):
            known[gone].delete()
        for day, substance in dict.fromkeys(given):
            if (day, substance) not in known:
                self.create(case=case, given_on=day, substance=substance)
        return list(self.filter(case=case).order_by("given_on"))


class Injection(ClinicOwned):
    """An injection into or beside this elbow that the patient has had."""

    belongs_to = "case"

    class Substance(models.TextChoices):
        CORTICOSTEROID = "corticosteroid", _("corticosteroid")
        OTHER = "other", _("other")

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="injections")
    given_on = models.DateField(_("given on"))
    substance = models.CharField(_("what"), max_length=20, choices=Substance)

    objects = InjectionQuerySet.as_manager()

    class Meta:
        verbose_name = _("injection")
        verbose_name_plural = _("injections")
        ordering = ["given_on"]
        constraints = [
            models.UniqueConstraint(
                name="injection_once_a_day", fields=["case", "given_on", "substance"]
            ),
            Journaled(name="injection_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.get_substance_display()}, {self.given_on}"

    @property
    def is_steroid(self) -> bool:
        return self.substance == self.Substance.CORTICOSTEROID


class ActivityQuerySet(ClinicQuerySet):
    def keep(self, case: Case, names: list[str]) -> list[str]:
        """Make the case's activities those `names`; return those that stay because they were rated.

        One that is already there keeps its row and its place: only the same activity may be compared.
        """
        known = {activity.name: activity for activity in self.filter(case=case)}
        stay = [name for name in known if name not in names and not known[name].dropped()]
        taken = {known[name].position for name in known if name in (*names, *stay)}
        free = [place for place in PLACES if place not in taken]
        for place, name in zip(free, (n for n in names if n not in known), strict=False):
            self.create(case=case, position=place, name=name)
        return stay


class Activity(ClinicOwned):
    """One thing that the patient wants to be able to do again, in their own words."""

    belongs_to = "case"

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="activities")
    position = models.SmallIntegerField(_("place in the list"))
    name = models.CharField(_("activity"), max_length=120)

    objects = ActivityQuerySet.as_manager()

    class Meta:
        verbose_name = _("activity")
        verbose_name_plural = _("activities")
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(name="activity_one_a_place", fields=["case", "position"]),
            models.CheckConstraint(
                name="activity_at_most_five",
                condition=Q(position__range=(1, 5)),
                violation_error_message=_("A patient names three to five activities."),
            ),
            Journaled(name="activity_journaled"),
        ]

    def __str__(self) -> str:
        return self.name

    def dropped(self) -> bool:
        """Leave the activity out of the list, unless it was rated; say whether that worked."""
        try:
            self.delete()
        except models.ProtectedError:
            return False
        return True
