"""The patient's own activities, the change as they see it, and days off work."""

from functools import cached_property

from django.utils.translation import gettext as _

from assessments.forms.fields import Rating, Whole
from assessments.forms.part import Part
from assessments.models import ActivityRating, GlobalRating, TimeOffWork

SINGLE = {"global_rating": GlobalRating, "time_off_work": TimeOffWork}


def activity_name(pk: int) -> str:
    return f"activity_{pk}"


class OwnPart(Part):
    slug = "own"

    @cached_property
    def activities(self):
        """The activities that the patient named at the intake, in their order."""
        return tuple(self.visit.case.activities.all())

    def fields(self):
        rated = {activity_name(a.pk): Rating(label=a.name) for a in self.activities}
        return rated | {
            "global_rating": Whole(label=_("Global rating of change"), low=-5, high=5),
            "time_off_work": Whole(label=_("Days off work"), low=0, high=366),
        }

    def stored(self):
        ratings = ActivityRating.objects.at(self.visit)
        return {activity_name(rating.activity_id): rating.value for rating in ratings} | {
            name: row.value
            for name, model in SINGLE.items()
            for row in model.objects.at(self.visit)
        }

    def keep(self, form, changed):
        ratings = {
            a.pk: changed[activity_name(a.pk)]
            for a in self.activities
            if activity_name(a.pk) in changed
        }
        ActivityRating.objects.write(self.visit, ratings)
        single = {name: model for name, model in SINGLE.items() if name in changed}
        for name, model in single.items():
            model.objects.write(self.visit, changed[name])
        return bool(ratings or single)
