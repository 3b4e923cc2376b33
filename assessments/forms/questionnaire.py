"""The 15-item questionnaire, by item number."""

from django.utils.translation import gettext as _

from assessments.clinical.questionnaires import tennis_elbow
from assessments.forms.fields import Rating
from assessments.forms.part import Part
from assessments.models import QuestionnaireResponse


def item_name(number: int) -> str:
    return f"item_{number}"


class QuestionnairePart(Part):
    slug = "questionnaire"

    def fields(self):
        return {
            item_name(item.number): Rating(label=_("Item %(number)s") % {"number": item.number})
            for item in tennis_elbow.ITEMS
        }

    def stored(self):
        return {
            item_name(number): value
            for form in self.visit.questionnaires.all()
            for number, value in form.answers().items()
        }

    def keep(self, form, changed):
        names = {item.number: item_name(item.number) for item in tennis_elbow.ITEMS}
        if not changed.keys() & set(names.values()):
            return False
        answers = {
            number: changed.get(name, form.on_record.get(name)) for number, name in names.items()
        }
        QuestionnaireResponse.objects.write(self.visit, answers)
        return True
