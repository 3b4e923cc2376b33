"""An exercise that the clinic writes itself."""

import dataclasses

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.forms import StampedModelForm
from rehab.clinical.exercises import Dose
from rehab.forms.program import RANGES, STAGES
from rehab.models import OwnCard, ProgramExercise
from rehab.models.catalog import Catalog
from rehab.printing.fonts import CannotPrint, readable

MOST_STEPS = 8
LONGEST_STEP = 200
LONGEST_START = 400
DOSE = tuple(RANGES)
ALWAYS = {field.name for field in dataclasses.fields(Dose) if field.default is not None}


def _number(name: str) -> forms.Field:
    """One number of the dose, with the range and the words of the program's own form."""
    low, high, message = RANGES[name]
    kind = forms.FloatField if name == "load_kg" else forms.IntegerField
    field = kind(
        label=ProgramExercise._meta.get_field(name).verbose_name,
        required=name in ALWAYS,
        min_value=low,
        max_value=high,
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), message),
    )
    field.widget.attrs["inputmode"] = "decimal" if name == "load_kg" else "numeric"
    return field


class OwnCardForm(StampedModelForm):
    """Everything that a card says; steps are typed one a line."""

    steps = forms.CharField(
        label=_("Steps"),
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("One on each line, in plain words and short sentences."),
        error_messages={"required": _("Write at least one step.")},
    )
    stages = forms.TypedMultipleChoiceField(
        label=_("Stages"),
        choices=STAGES,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _("Choose at least one stage."),
            "invalid_choice": _("Choose from the stages 1 to 5."),
        },
    )
    source = forms.CharField(
        label=_("Source of the dose"),
        max_length=300,
        required=False,
        help_text=_("Author, year and journal. Without one the dose is the clinic's own."),
    )

    class Meta:
        model = OwnCard
        fields = [
            "name", "start", "usual_mistake", "caution", "equipment", "structures", "gate",
        ]  # fmt: skip
        widgets = {
            "start": forms.Textarea(attrs={"rows": 2, "maxlength": LONGEST_START}),
            "usual_mistake": forms.Textarea(attrs={"rows": 2}),
            "caution": forms.Textarea(attrs={"rows": 2}),
            "structures": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {"start": _("Start position"), "structures": _("What it loads")}
        help_texts = {
            "equipment": _("What the patient needs. Write “None” if nothing."),
            "structures": _("In the trade's terms; not printed for the patient."),
            "gate": _("What lets the exercise in. Empty: it may be given from the start."),
        }
        error_messages = {
            "name": {"required": _("Give it a name.")},
            "start": {"required": _("Say how it begins.")},
            "usual_mistake": {"required": _("Say what goes wrong most.")},
            "equipment": {"required": _("Say what it needs, or “None”.")},
            "structures": {"required": _("Say what it loads.")},
        }

    def __init__(self, *args, catalog: Catalog, **kwargs):
        self.catalog = catalog
        super().__init__(*args, **kwargs)
        self.fields |= {name: _number(name) for name in DOSE}
        self.initial |= self.stored() or {"sessions_per_day": 1, "days_per_week": 7}

    def stored(self) -> dict[str, object]:
        own = self.instance
        if not own.pk:
            return {}
        source = "" if own.source == "none" else own.source
        told = {"steps": "\n".join(own.steps), "stages": own.stages, "source": source}
        return super().stored() | told | dataclasses.asdict(Dose(**own.dose))

    @property
    def doses(self) -> list[forms.BoundField]:
        return [self[name] for name in DOSE]

    def clean_name(self) -> str:
        """A name that no other exercise has, so that a patient's sheet can't be misread."""
        name = self.cleaned_data["name"]
        offered = [card for card in self.catalog.cards if self.catalog.offers(card.code)]
        if name.casefold() in {c.name.casefold() for c in offered if c.code != self.instance.code}:
            raise forms.ValidationError(_("There is an exercise of this name already."))
        return name

    def clean_start(self) -> str:
        start = self.cleaned_data["start"]
        if len(start) > LONGEST_START:
            raise forms.ValidationError(
                _("Keep the start position under %(most)s letters."), params={"most": LONGEST_START}
            )
        return start

    def clean_steps(self) -> str:
        steps = [line.strip() for line in self.cleaned_data["steps"].splitlines() if line.strip()]
        if len(steps) > MOST_STEPS:
            raise forms.ValidationError(
                _("Write at most %(most)s steps, one on each line."), params={"most": MOST_STEPS}
            )
        if any(len(step) > LONGEST_STEP for step in steps):
            raise forms.ValidationError(
                _("Keep each step under %(most)s letters."), params={"most": LONGEST_STEP}
            )
        return "\n".join(steps)

    def clean(self):
        cleaned = super().clean()
        worked = cleaned.get("repetitions") or cleaned.get("hold_s")
        if not worked and not self.errors.keys() & {"repetitions", "hold_s"}:
            self.add_error("repetitions", _("Give repetitions, or a hold in seconds."))
        for name in ("name", "start", "steps", "usual_mistake", "caution", "equipment"):
            self._check_print(name)
        return cleaned

    def _check_print(self, name: str) -> None:
        """What can't be printed is refused here, not when the patient waits for the sheet."""
        try:
            readable(self.cleaned_data.get(name, ""))
        except CannotPrint as refusal:
            self.add_error(name, str(refusal))

    def edition(self) -> OwnCard:
        """The exercise as typed; kept only when it is written."""
        own, cleaned = self.instance, self.cleaned_data
        own.steps, own.stages = cleaned["steps"].splitlines(), sorted(cleaned["stages"])
        own.source = cleaned["source"] or "none"
        own.dose = {name: cleaned[name] for name in DOSE if cleaned[name] is not None}
        return own
