"""The part of the intake that is about load: racket, work, and what else the hands do."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.exposure import tension_n
from cases.forms.told import NOT_ASKED, Amount, Count, YesNo, hours_a_week, keys
from cases.models import Intake

# Rackets of all sports are strung well within this; outside it the unit is wrong. No source.
TENSION_N = (50, 400)


class LoadHistoryForm(forms.Form):
    """Hours are hours a week, but for the bent wrist."""

    racket_sport = YesNo(label=gettext_lazy("Does the patient play a racket sport?"))
    racket_years = Count(
        label=gettext_lazy("Years of play"), most=90, why=gettext_lazy("Years from 0 to 90.")
    )
    racket_hours = hours_a_week(gettext_lazy("Hours a week"))
    racket_hours_before = hours_a_week(gettext_lazy("Hours a week, 8 weeks earlier"))
    backhand = keys([*Intake.Backhand.choices, NOT_ASKED], label=gettext_lazy("Backhand"))
    grip_size = keys([*Intake.GripSize.choices, NOT_ASKED], label=gettext_lazy("Grip size"))
    string_tension = Amount(
        label=gettext_lazy("String tension"),
        most=400,
        why=gettext_lazy("Check the number and its unit."),
    )
    string_tension_unit = keys(
        [*Intake.TensionUnit.choices, NOT_ASKED], label=gettext_lazy("Unit of the tension")
    )
    racket_change = forms.CharField(
        label=gettext_lazy("What changed: racket, grip, strings, technique?"),
        max_length=200,
        required=False,
    )
    work_force = YesNo(label=gettext_lazy("Forceful work with the hand"))
    work_repetition = YesNo(label=gettext_lazy("The same movement again and again"))
    work_twisting = YesNo(label=gettext_lazy("Repeated twisting of the forearm"))
    work_tools = YesNo(label=gettext_lazy("Tools heavier than 1 kg"))
    work_heavy = YesNo(label=gettext_lazy("Handling more than 20 kg"))
    work_bent_hours = Amount(
        label=gettext_lazy("Wrist bent, hours a day"),
        most=24,
        why=gettext_lazy("A day has 24 hours."),
    )
    screen_hours = hours_a_week(gettext_lazy("At a screen, hours a week"))
    music = forms.CharField(label=gettext_lazy("Instrument"), max_length=120, required=False)
    music_hours = hours_a_week(gettext_lazy("Playing it, hours a week"))
    crafts = forms.CharField(label=gettext_lazy("Crafts"), max_length=120, required=False)
    crafts_hours = hours_a_week(gettext_lazy("At crafts, hours a week"))
    gardening_hours = hours_a_week(gettext_lazy("Gardening, hours a week"))

    def clean_string_tension(self) -> float | None:
        tension = self.cleaned_data["string_tension"]
        if tension is not None and tension < 1:
            raise forms.ValidationError(_("Check the number and its unit."))
        return tension

    def clean_string_tension_unit(self) -> str:
        unit, tension = (
            self.cleaned_data["string_tension_unit"],
            self.cleaned_data.get("string_tension"),
        )
        if tension is None:
            return unit
        if not unit:
            raise forms.ValidationError(_("Choose the unit of the string tension."))
        low, high = TENSION_N
        if not low <= tension_n(tension, unit) <= high:
            raise forms.ValidationError(_("Check the number and its unit."))
        return unit

    def work_rows(self) -> list[forms.BoundField]:
        """The yes-or-no questions about work, for the table."""
        return [self[name] for name in Intake.WORK_YES_NO]
