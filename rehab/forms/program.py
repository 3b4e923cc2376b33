"""The stage that a program starts from, and its doses."""

from django import forms
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from clinic.templatetags.clinic_tags import say
from clinic.wording import Sentence
from rehab.building import Build
from rehab.clinical.choosing import MOST_EXERCISES
from rehab.clinical.ladder import Policy, Stage
from rehab.clinical.owned import Owned
from rehab.clinical.second_look import Thought
from rehab.clinical.week_plan import days_for, is_heavy, week_plan
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
    """One exercise of a draft program; its load is one of those that are `owned`, where that is known."""

    def __init__(self, *args, owned: Owned | None = None, **kwargs):
        self.owned = owned
        self.thoughts: list[tuple[forms.BoundField, str, Sentence]] = []
        super().__init__(*args, **kwargs)

    class Meta:
        model = ProgramExercise
        fields = [
            "sets", "repetitions", "hold_s", "load_kg", "up_s", "down_s", "rest_s",
            "sessions_per_day", "days_per_week", "remark",
        ]  # fmt: skip

    def think(self, thoughts: tuple[Thought, ...]) -> None:
        """Put what the rules think beside the fields that it is about."""
        for thought in thoughts:
            place = f"{self[thought.field].auto_id}_thought"
            self.fields[thought.field].widget.attrs["aria-describedby"] = place
            self.thoughts.append((self[thought.field], place, thought.words))

    def clean(self):
        cleaned = super().clean()
        for name, (low, high, message) in RANGES.items():
            value = cleaned.get(name)
            if value is not None and not low <= value <= high:
                self.add_error(name, message)
        worked = cleaned.get("repetitions") or cleaned.get("hold_s")
        if not worked and not self.errors.keys() & {"repetitions", "hold_s"}:
            self.add_error("repetitions", _("Give repetitions, or a hold in seconds."))
        self.instance.load_kg = cleaned.get("load_kg")
        if "load_kg" not in self.errors and not self.instance.is_owned_in(self.owned):
            self.add_error("load_kg", say(self.owned.words(self.instance.card)))
        return cleaned


Doses = forms.inlineformset_factory(
    Program, ProgramExercise, form=DoseForm, extra=0, can_delete=True
)


class ProgramForm(StampedModelForm):
    """What concerns the whole program."""

    weekdays = forms.TypedMultipleChoiceField(
        label=_("Days that the patient can train"),
        choices=list(WEEKDAYS.items()),
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one day.")},
    )

    class Meta:
        model = Program
        fields = ["smallest_step_kg", "weekdays", "more_because", "remark"]
        widgets = {"remark": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.owned is not None:
            # The loads go by what is owned then.
            del self.fields["smallest_step_kg"]

    def clean_smallest_step_kg(self):
        step = self.cleaned_data["smallest_step_kg"]
        if not 0.05 <= step <= 5:
            raise forms.ValidationError(_("Enter a step from 0.05 to 5 kg."))
        return step


class WithdrawForm(forms.Form):
    """Why an issued program is taken back."""

    because = forms.CharField(
        label=_("Why is it withdrawn?"),
        max_length=300,
        help_text=_("It stays on record with this reason, and can't be brought back."),
        error_messages={"required": _("Say why the program is withdrawn.")},
    )


class Builder:
    """Everything that is typed into a draft: the program as a whole and a dose for each exercise.

    `adds` is true when the draft is saved to add one exercise more.
    """

    def __init__(self, data, *, draft: Program, adds: bool = False) -> None:
        self.draft, self.adds = draft, adds
        self.form = ProgramForm(data, instance=draft)
        data = self.form.data if self.form.is_bound else None
        self.doses = Doses(data, instance=draft, prefix="dose", form_kwargs={"owned": draft.owned})

    @property
    def kept(self) -> list[DoseForm]:
        return [dose for dose in self.doses.forms if dose not in self.doses.deleted_forms]

    def think(self, build: Build) -> None:
        """Show what the rules think of the doses as they are stored."""
        for dose in self.doses.forms:
            dose.think(build.thoughts_on(dose.instance))

    def is_valid(self) -> bool:
        if not all([self.form.is_valid(), self.doses.is_valid()]):
            return False
        self._check_count()
        self._check_week()
        return self.form.is_valid() and all(dose.is_valid() for dose in self.doses.forms)

    def save(self) -> None:
        self.form.save()
        self.doses.save()

    def _check_count(self) -> None:
        if len(self.kept) + self.adds <= MOST_EXERCISES.value:
            self.form.instance.more_because = ""
        elif not self.form.cleaned_data["more_because"].strip():
            self.form.add_error("more_because", _("Say why there are more than four exercises."))

    def _check_week(self) -> None:
        """The days hold what is asked, with 48 hours between heavy sessions."""
        weekdays, stage = self.form.cleaned_data["weekdays"], self.draft.rung
        for dose in self.kept:
            asked, heavy = dose.instance.days_per_week, is_heavy(stage, dose.instance.card)
            if heavy and days_for(range(7), asked, heavy=True) is None:
                dose.add_error(
                    "days_per_week", _("Heavy work is 48 hours apart: 3 days a week at most.")
                )
            elif asked > len(weekdays):
                text = now("The patient can train on %(days)s days a week.")
                dose.add_error("days_per_week", text % {"days": len(weekdays)})
        if any(dose.errors for dose in self.kept):
            return
        doses = [(dose.instance.card, dose.instance.dose) for dose in self.kept]
        if any(row.days is None for row in week_plan(doses, weekdays, stage=stage).rows):
            text = _(
                "These days leave no 48 hours between the heavy sessions. Choose days with a day "
                "between them, or fewer sessions a week."
            )
            self.form.add_error("weekdays", text)
