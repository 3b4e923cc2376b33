"""The stage that a program starts from, and its doses."""

import re

from django import forms
from django.http import QueryDict
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from clinic.forms import Conflict, StampedModelForm
from clinic.templatetags.clinic_tags import say
from clinic.wording import Sentence
from rehab.building import Build
from rehab.by_week import ByWeek, Reached
from rehab.clinical.choosing import MOST_EXERCISES
from rehab.clinical.ladder import Policy, Stage
from rehab.clinical.lifting import HEAVIEST_JOB_KG
from rehab.clinical.owned import Owned
from rehab.clinical.returning import LIFTING, return_steps
from rehab.clinical.second_look import Thought
from rehab.clinical.week_plan import days_for, days_said, is_heavy, week_plan
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


class DoseForm(StampedModelForm):
    """One exercise of a draft program; its load is one of those that are `owned`, where that is known."""

    def __init__(self, *args, owned: Owned | None = None, **kwargs):
        self.owned = owned
        self.thoughts: list[tuple[forms.BoundField, str, Sentence]] = []
        self.published: tuple[Reached, ...] = ()
        super().__init__(*args, **kwargs)

    class Meta:
        model = ProgramExercise
        fields = [
            "sets", "repetitions", "hold_s", "load_kg", "up_s", "down_s", "rest_s",
            "sessions_per_day", "days_per_week", "remark",
        ]  # fmt: skip

    def stored(self) -> dict[str, object]:
        # The formset adds the program to the fields, which nobody types.
        return {name: value for name, value in super().stored().items() if name != "program"}

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


class Row(forms.ModelChoiceField):
    """Which row a form is about, out of those that were fetched: Django would ask for each again."""

    def __init__(self, rows, **kwargs):
        super().__init__(rows, required=False, widget=forms.HiddenInput, **kwargs)
        self.rows = {str(row.pk): row for row in rows}

    def to_python(self, value):
        if value in self.empty_values:
            return None
        if str(value) not in self.rows:
            raise forms.ValidationError(
                self.error_messages["invalid_choice"], code="invalid_choice"
            )
        return self.rows[str(value)]


class BaseDoses(forms.BaseInlineFormSet):
    def get_queryset(self):
        # What is only shown is at hand with the draft; what is saved is read anew.
        return super().get_queryset() if self.is_bound else self.instance.exercises.all()

    def add_fields(self, form, index):
        super().add_fields(form, index)
        form.fields["id"] = Row(self.get_queryset(), initial=form.fields["id"].initial)


Doses = forms.inlineformset_factory(
    Program, ProgramExercise, form=DoseForm, formset=BaseDoses, extra=0, can_delete=True
)


RETURN_FIELDS = ("return_plan", "job_load_kg", "return_step")


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
        fields = ["smallest_step_kg", "weekdays", "more_because", "remark", *RETURN_FIELDS]
        widgets = {
            "remark": forms.Textarea(attrs={"rows": 3}),
            "return_plan": forms.RadioSelect,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["return_plan"].choices = [("", _("none yet")), *Program.ReturnPlan.choices]
        if self.instance.owned is not None:
            # The loads go by what is owned then.
            del self.fields["smallest_step_kg"]
        if self.instance.rung is not Stage.RETURN_TO_ACTIVITY:
            for name in RETURN_FIELDS:
                del self.fields[name]

    def clean(self):
        cleaned = super().clean()
        if "return_plan" in self.fields:
            self._check_return_plan(cleaned)
        return cleaned

    def _check_return_plan(self, cleaned) -> None:
        """Lifting goes up to a load of the job, and a step is one that the plan has."""
        plan, job_kg, step = (cleaned.get(name) for name in RETURN_FIELDS)
        if "job_load_kg" in self.errors:
            return
        if plan == LIFTING and not 1 <= (job_kg or 0) <= HEAVIEST_JOB_KG:
            self.add_error("job_load_kg", _("Enter the heaviest load of the job, 1 to 100 kg."))
            return
        last = len(return_steps(plan or "", job_kg=job_kg))
        if step is not None and not 1 <= step <= last:
            words = now("Enter a step from 1 to %(last)s.") if last else now("Choose a plan first.")
            self.add_error("return_step", words % {"last": last} if last else words)

    def _conflicts(self, cleaned):
        """Days in words: nobody compares numbers of weekdays."""
        for conflict in super()._conflicts(cleaned):
            if conflict.label == self.fields["weekdays"].label:
                both = (say(days_said(days)) for days in (conflict.theirs, conflict.mine))
                yield Conflict(conflict.label, *both)
            else:
                yield conflict

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


PREFIX = "dose"
COUNTS = (f"{PREFIX}-TOTAL_FORMS", f"{PREFIX}-INITIAL_FORMS")


class Builder:
    """Everything that is typed into a draft: the program as a whole and a dose for each exercise.

    `adds` is true when the draft is saved to add one exercise more.
    """

    def __init__(self, data, *, draft: Program, adds: bool = False) -> None:
        self.draft, self.adds = draft, adds
        self.has_lost = False
        known = self._known(data) if data else data
        self.form = ProgramForm(known, instance=draft)
        self.doses = Doses(
            self.form.data if self.form.is_bound else None,
            instance=draft,
            prefix=PREFIX,
            form_kwargs={"owned": draft.owned},
        )

    def _known(self, data):
        """What was typed, without the exercises that somebody has taken out meanwhile, counted anew."""
        rows = {str(one.pk) for one in self.draft.exercises.all()}
        typed = re.compile(rf"{PREFIX}-(\d+)-(\w+)")
        found = [(typed.fullmatch(name), name) for name in data]
        ids = {int(m[1]): data[name] for m, name in found if m and m[2] == "id"}
        places = {old: new for new, old in enumerate(n for n in sorted(ids) if ids[n] in rows)}
        self.has_lost = len(places) < len(ids)
        count = str(len(places))
        in_order = all(old == new for old, new in places.items())
        if in_order and [data.get(name) for name in COUNTS] == [count, count]:
            return data
        kept = QueryDict(mutable=True)
        for match, name in found:
            if match is None and name not in COUNTS:
                kept.setlist(name, data.getlist(name))
            elif match and int(match[1]) in places:
                kept[f"{PREFIX}-{places[int(match[1])]}-{match[2]}"] = data[name]
        kept.update(dict.fromkeys(COUNTS, count))
        return kept

    @property
    def kept(self) -> list[DoseForm]:
        return [dose for dose in self.doses.forms if dose not in self.doses.deleted_forms]

    def think(self, build: Build) -> None:
        """Show what the rules think of the doses as they are stored."""
        for dose in self.doses.forms:
            dose.think(build.thoughts_on(dose.instance))

    def lay_beside(self, by_week: ByWeek) -> None:
        """Show beside each dose what was published for its exercise."""
        for dose in self.doses.forms:
            dose.published = by_week.of(dose.instance.card)

    def is_valid(self) -> bool:
        if self.has_lost:
            text = _(
                "An exercise was taken out of this draft meanwhile. The others are as you typed them: "
                "look them over, then save again."
            )
            self.form.add_error(None, text)
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
