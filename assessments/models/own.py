"""What the patient says of themselves in numbers: their own activities, the change, days off work."""

from collections.abc import Mapping
from typing import Self

from django.db import models
from django.db.models import Max, Q
from django.utils.translation import gettext_lazy as _

from cases.models import Activity, Case, Visit
from cases.models.visit import VisitQuerySet
from clinic.constraints import Sealed
from clinic.journal import Journaled
from clinic.models import ClinicOwned, ClinicQuerySet


def visits_in_order(case: Case) -> VisitQuerySet:
    """The visits of a case from the first on, each with what is one number a visit."""
    return case.visits.select_related(*SINGLE).order_by("on", "pk")


def single_numbers(visit: Visit) -> dict[str, int]:
    """What a visit of `visits_in_order` has of SINGLE."""
    rows = ((name, getattr(visit, name, None)) for name in SINGLE)
    return {name: row.value for name, row in rows if row}


class ActivityRatingQuerySet(ClinicQuerySet):
    def named(self) -> Self:
        """With the activity's own words."""
        return self.select_related("activity")

    def activities_at(self, visit: Visit) -> models.QuerySet[Activity]:
        """The activities of the visit's case in their order; `rated` is this visit's rating or None."""
        this_visit = Q(ratings__visit=visit)
        return visit.case.activities.annotate(rated=Max("ratings__value", filter=this_visit))

    def write(self, visit: Visit, ratings: Mapping[int, int | None]) -> None:
        """Keep these ratings of a draft visit by the activity's key; one that is None is taken away."""
        emptied = [activity for activity, value in ratings.items() if value is None]
        self.filter(visit=visit, activity__in=emptied).delete()
        self.bulk_create(
            (
                self.model(
                    clinic_id=visit.clinic_id, visit=visit, activity_id=activity, value=value
                )
                for activity, value in ratings.items()
                if value is not None
            ),
            update_conflicts=True,
            unique_fields=["visit", "activity"],
            update_fields=["value"],
        )


class ActivityRating(ClinicOwned):
    """How well the patient can do one of their own activities: 0 unable, 10 as before."""

    belongs_to = "visit"

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="activity_ratings")
    activity = models.ForeignKey(Activity, on_delete=models.PROTECT, related_name="ratings")
    value = models.SmallIntegerField(_("rating"))

    objects = ActivityRatingQuerySet.as_manager()

    class Meta:
        verbose_name = _("activity rating")
        verbose_name_plural = _("activity ratings")
        ordering = ["activity__position"]
        constraints = [
            models.UniqueConstraint(
                name="activity_rated_once_a_visit", fields=["visit", "activity"]
            ),
            models.CheckConstraint(
                name="activity_rating_0_to_10",
                condition=Q(value__range=(0, 10)),
                violation_error_message=_("An activity is rated with a whole number from 0 to 10."),
            ),
            Sealed(
                name="activity_rating_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="activity_rating_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.activity_id}: {self.value}"


class OneAVisitQuerySet(ClinicQuerySet):
    def write(self, visit: Visit, value: int | None) -> None:
        """Keep the one number of a draft visit; None takes it away."""
        if value is None:
            self.filter(visit=visit).delete()
            return
        self.update_or_create(visit=visit, defaults={"value": value})


class GlobalRating(ClinicOwned):
    """How the patient compares today with the start of care: −5 very much worse, 5 completely recovered."""

    belongs_to = "visit"

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="global_rating")
    value = models.SmallIntegerField(_("global rating of change"))

    objects = OneAVisitQuerySet.as_manager()

    class Meta:
        verbose_name = _("global rating of change")
        verbose_name_plural = _("global ratings of change")
        constraints = [
            models.CheckConstraint(
                name="global_rating_minus_5_to_5",
                condition=Q(value__range=(-5, 5)),
                violation_error_message=_("The global rating is a whole number from −5 to 5."),
            ),
            Sealed(
                name="global_rating_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="global_rating_journaled"),
        ]

    def __str__(self) -> str:
        return f"{self.value:+d}"


class TimeOffWork(ClinicOwned):
    """Whole days off work for this elbow since the last visit; at the first, in the last four weeks."""

    belongs_to = "visit"

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="time_off_work")
    value = models.SmallIntegerField(_("days off work"))

    objects = OneAVisitQuerySet.as_manager()

    class Meta:
        verbose_name = _("time off work")
        verbose_name_plural = _("times off work")
        constraints = [
            models.CheckConstraint(
                name="time_off_work_0_to_366_days",
                condition=Q(value__range=(0, 366)),
                violation_error_message=_("Days off work are a whole number from 0 to 366."),
            ),
            Sealed(
                name="time_off_work_of_signed_visit_stays",
                by="visit.signed_at",
                erased_with="visit.case.patient",
            ),
            Journaled(name="time_off_work_journaled"),
        ]

    def __str__(self) -> str:
        return str(self.value)


# What is one number a visit, by its measure's key: the visit knows its row by the same name.
SINGLE: dict[str, type[GlobalRating] | type[TimeOffWork]] = {
    "global_rating": GlobalRating,
    "time_off_work": TimeOffWork,
}
