"""The patient's own activities, the change as they see it, and days off work."""

from collections.abc import Mapping
from types import MappingProxyType

from django.utils.translation import gettext as _

from assessments.clinical import global_rating
from assessments.clinical.time_off import FIRST_WINDOW
from assessments.forms.fields import Rating, Whole
from assessments.forms.part import Part
from assessments.models import ActivityRating
from assessments.models.own import SINGLE, single_numbers, visits_in_order
from cases.models import Activity, Visit
from clinic.templatetags.clinic_tags import written


def activity_name(pk: int) -> str:
    return f"activity_{pk}"


class OwnPart(Part):
    """What is on record is looked up by each `stored`: the activities, and the visits around this one."""

    slug = "own"
    activities: tuple[Activity, ...] = ()
    before: Visit | None = None
    single: Mapping[str, int] = MappingProxyType({})

    def __init__(self, visit: Visit, visits: list[Visit] | None = None):
        """`visits` are those of the case in their order, where they are at hand and nothing will be kept."""
        super().__init__(visit)
        self.visits = visits

    def fields(self):
        rated = {activity_name(a.pk): Rating(label=a.name) for a in self.activities}
        if self.asks_for_change:
            rated["global_rating"] = Whole(
                label=_("Global rating of change"), low=global_rating.LOW, high=global_rating.HIGH
            )
        return rated | {"time_off_work": Whole(label=_("Days off work"), low=0, high=366)}

    @property
    def asks_for_change(self) -> bool:
        """At the first visit there is nothing to compare with yet."""
        return self.before is not None or "global_rating" in self.single

    @property
    def window_days(self) -> int:
        """How many days the days off work are asked about."""
        return (self.visit.on - self.before.on).days if self.before else int(FIRST_WINDOW.value)

    def stored(self):
        self.activities = tuple(ActivityRating.objects.activities_at(self.visit))
        visits = self.visits or list(visits_in_order(self.visit.case))
        place = next(n for n, visit in enumerate(visits) if visit.pk == self.visit.pk)
        self.before = visits[place - 1] if place else None
        self.single = single_numbers(visits[place])
        rated = {activity_name(a.pk): a.rated for a in self.activities if a.rated is not None}
        return rated | self.single

    def check(self, form):
        days = form.cleaned_data.get("time_off_work")
        if days is not None and days > self.window_days:
            form.add_error("time_off_work", self._too_many(days))

    def _too_many(self, days: int) -> str:
        values = {"typed": days, "most": self.window_days}
        if self.before is None:
            return _("%(typed)s days are more than the last four weeks have (%(most)s).") % values
        text = _("%(typed)s days are more than the %(most)s since the last visit, on %(day)s.")
        return text % (values | {"day": written(self.before.on)})

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
