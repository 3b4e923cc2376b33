"""The stage that a program starts from, and its doses."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from rehab.clinical.ladder import Policy, Stage
from rehab.models import Program, ProgramExercise

STAGES = [(stage.value, f"{stage.value} – {stage.label}") for stage in Stage]


class StageForm(forms.Form):
    """Which stage a new program starts from, and under which pain policy."""

    stage = forms.TypedChoiceField(label=_("Stage"), choices=STAGES, coerce=lambda n: Stage(int(n)))
    policy = forms.TypedChoiceField(
        label=_("Pain policy"), choices=Program.PolicyChoice.choices, coerce=Policy
    )


SECONDS = _("Give 1 to 60 seconds, or leave it empty.")
RANGES = {
    "sets":             (1, 10,   _("Give 1 to 10 sets.")),
    "repetitions":      (1, 100,  _("Give 1 to 100 repetitions, or leave them empty.")),
    "hold_s":           (1, 300,  _("Give 1 to 300 seconds, or leave it empty.")),
    "load_kg":          (0, 50, _("Enter a load up to 50 kg, 0 for none, or leave it empty.")),
    "up_s":             (1, 60,   SECONDS),
    "down_s":           (1, 60,   SECONDS),
    "rest_s":           (1, 600,  _("Give 1 to 600 seconds, or leave it empty.")),
    "sessions_per_day": (1, 4,    _("Give 1 to 4 times a day.")),
    "days_per_week":    (1, 7,    _("Give 1 to 7 days a week.")),
}  # fmt: skip


class DoseForm(forms.ModelForm):
    """One exercise of a draft program."""

    class Meta:
        model = ProgramExercise
        fields = [
            "sets", "repetitions", "hold_s", "load_kg", "up_s", "down_s", "rest_s",
            "sessions_per_day", "days_per_week", "remark",
        ]  # fmt: skip

    def clean(self):
        cleaned = super().clean()
        for name, (low, high, message) in RANGES.items():
            value = cleaned.get(name)
            if value is not None and not low <= value <= high:
                self.add_error(name, message)
        worked = cleaned.get("repetitions") or cleaned.get("hold_s")
        if not worked and not self.errors.keys() & {"repetitions", "hold_s"}:
            self.add_error("repetitions", _("Give repetitions, or a hold in seconds."))
        return cleaned


Doses = forms.inlineformset_factory(
    Program, ProgramExercise, form=DoseForm, extra=0, can_delete=True
)


class ProgramForm(StampedModelForm):
    """What concerns the whole program."""

    class Meta:
        model = Program
        fields = ["smallest_step_kg", "remark"]
        widgets = {"remark": forms.Textarea(attrs={"rows": 3})}

    def clean_smallest_step_kg(self):
        step = self.cleaned_data["smallest_step_kg"]
        if not 0.05 <= step <= 5:
            raise forms.ValidationError(_("Enter a step from 0.05 to 5 kg."))
        return step
