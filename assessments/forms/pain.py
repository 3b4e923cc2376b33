"""Pain in each situation."""

from django.utils.translation import gettext as _

from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import Context
from assessments.forms.fields import Rating
from assessments.forms.part import Part
from assessments.models import PainRating


def pain_name(context: Context) -> str:
    return f"pain_{context.value}"


class PainPart(Part):
    slug = "pain"

    def fields(self):
        return {pain_name(at): Rating(label=_(BY_KEY[pain_name(at)].name)) for at in Context}

    def stored(self):
        ratings = self.visit.pain_ratings.all()
        return {pain_name(Context(rating.context)): rating.value for rating in ratings}

    def keep(self, form, changed):
        ratings = {at: changed[pain_name(at)] for at in Context if pain_name(at) in changed}
        PainRating.objects.write(self.visit, ratings)
        return bool(ratings)
