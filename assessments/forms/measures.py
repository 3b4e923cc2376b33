"""Everything that is measured at one draft visit, on one form that saves itself while it is typed."""

from django import forms
from django.utils.translation import gettext as _

from assessments.course import values_of
from assessments.forms.grip import GripPart
from assessments.forms.own import OwnPart
from assessments.forms.pain import PainPart
from assessments.forms.questionnaire import QuestionnairePart
from assessments.models import MeasuredValue
from cases.models import Visit
from clinic.forms import Stamped


class MeasuresForm(Stamped, forms.Form):
    """Pain, grip, questionnaire and the patient's own numbers, each part with its own rules."""

    saves_itself = True

    def __init__(self, data=None, *, visit: Visit, visits: list[Visit] | None = None):
        """`visits` are the `measured_visits` of the case, for a form that is read and not kept."""
        self.visit, self.affected = visit, visit.case.affected
        if visits:
            self.visit = next(at for at in visits if at.pk == visit.pk)
            self.visit.clinic = visit.clinic
        self.grip, self.own = GripPart(self.visit), OwnPart(self.visit, visits)
        self.parts = (PainPart(self.visit), self.grip, QuestionnairePart(self.visit), self.own)
        typed = data and self.grip.untangled(data, "measures")
        super().__init__(typed, prefix="measures")
        for part in self.parts:
            self.fields |= part.fields()
        opened_with = self.grip.initial(self.on_record)
        self.initial = opened_with | self.on_record | self.initial

    def stored(self) -> dict[str, object]:
        values = {name: value for part in self.parts for name, value in part.stored().items()}
        if not values:
            return {}
        names = (name for part in self.parts for name in part.fields())
        return dict.fromkeys(name for name in names if name not in ("unit", "right")) | values

    def clean(self):
        for part in self.parts:
            part.check(self)
        if self.visit.is_signed:
            raise forms.ValidationError(
                _("This visit is signed. Nothing was saved; copy it into an addendum."),
                code="signed",
            )
        return super().clean()

    @property
    def may_be_kept(self) -> bool:
        """Whether something can be saved: one wrong number must not hold the others back."""
        return not self.non_field_errors()

    def keep(self) -> list[str]:
        """Save what is right and has changed; say which parts did."""
        changed = {
            name: value
            for name, value in self.cleaned_data.items()
            if value != self.on_record.get(name)
        }
        saved = [part.slug for part in self.parts if part.keep(self, changed)]
        if saved:
            MeasuredValue.objects.write(self.visit, values_of(self.visit))
        self.restamp()
        return saved
