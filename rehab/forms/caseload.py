"""Which cases of the caseload are counted."""

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.clinical.intake import Duration
from clinic.models import Clinic, Staff
from clinic.templatetags.clinic_tags import say
from rehab.caseload import Chosen
from rehab.clinical.caseload import COUNTED, COUNTED_BY_KEY, Counted
from rehab.clinical.ladder import Stage


class CaseloadForm(forms.Form):
    """The choices above the caseload; all of them stand in the address."""

    measure = forms.ChoiceField(label=_("Measure"), required=False)
    lead = forms.ModelChoiceField(
        label=_("Led by"),
        queryset=Staff.objects.none(),
        required=False,
        empty_label=_("everybody"),
        error_messages={"invalid_choice": _("Choose a practitioner of this clinic.")},
    )
    stage = forms.TypedChoiceField(
        label=_("Stage"), required=False, coerce=lambda value: Stage(int(value)), empty_value=None
    )
    duration = forms.TypedChoiceField(
        label=_("Complaint before opening"), required=False, coerce=Duration, empty_value=None
    )

    def __init__(self, data, *, clinic: Clinic):
        super().__init__(data)
        self.clinic = clinic
        self.fields["lead"].queryset = Staff.objects.of(clinic).who_treat()
        self.fields["measure"].choices = [
            (row.measure.key, say(row.measure.name)) for row in COUNTED
        ]
        self.fields["stage"].choices = [
            ("", _("all")),
            *((stage.value, f"{stage.value} {say(stage.label)}") for stage in Stage),
        ]
        self.fields["duration"].choices = [
            ("", _("all")),
            *((value, say(label)) for value, label in Duration.choices()),
        ]
        self.full_clean()

    @property
    def counted(self) -> Counted:
        return COUNTED_BY_KEY.get(self.cleaned_data.get("measure"), COUNTED[0])

    @property
    def chosen(self) -> Chosen:
        names = ("lead", "stage", "duration")
        return Chosen(clinic=self.clinic, **{name: self.cleaned_data.get(name) for name in names})
