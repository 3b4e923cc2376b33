"""The arithmetic of a program: what its loads come to by the published equations, for who wants to check."""

from dataclasses import dataclass
from functools import cached_property

from django import forms
from django.utils.translation import gettext_lazy as _

from cases.forms.told import Amount
from clinic.evidence import Figure
from rehab.clinical import loads, torque
from rehab.clinical.work import Work, change_percent, work_of
from rehab.models import Equipment, Program, ProgramExercise

# The exercises in which a weight bends the level wrist, palm down.
AT_THE_WRIST = ("wrist-hold", "lower-slowly", "lift-and-lower", "straight-arm-lift")
# The exercise in which an offset weight turns the forearm.
TURNS = "turn-palm"


class BodyForm(forms.Form):
    """The body mass for the torque of the hand itself; nothing of it is kept."""

    body_kg = Amount(
        label=_("Body mass, kg"),
        help_text=_("For the weight of the hand; it is not stored."),
        most=300,
        why=_("Enter a body mass from 20 to 300 kg."),
    )

    def clean_body_kg(self):
        mass = self.cleaned_data["body_kg"]
        if mass is not None and mass < 20:
            raise forms.ValidationError(_("Enter a body mass from 20 to 300 kg."))
        return mass


@dataclass(frozen=True, kw_only=True)
class Torque:
    """What one exercise asks of the wrist or of forearm rotation, in N m; `share` of ten men's mean, in %."""

    name: object
    about: object
    nm: float
    share: float | None = None


@dataclass(frozen=True, kw_only=True)
class WorkRow:
    """One exercise's work in this version and in the one before; None where it is not in it."""

    name: object
    now: Work | None
    before: Work | None

    @property
    def volume_change(self) -> float | None:
        return change_percent(*self._weeks("week_kg"))

    @property
    def tension_change(self) -> float | None:
        return change_percent(*self._weeks("week_s"))

    def _weeks(self, name: str) -> tuple[float | None, float | None]:
        return (getattr(self.now, name, None), getattr(self.before, name, None))


class Arithmetic:
    """All of it for one draft; `asked` is what was typed for the body mass."""

    def __init__(self, draft: Program, before: Program | None, asked) -> None:
        self.draft, self.before = draft, before
        self.form = BodyForm(asked if "body_kg" in asked else None)

    @property
    def is_open(self) -> bool:
        return self.form.is_bound

    @cached_property
    def body_kg(self) -> float | None:
        return self.form.cleaned_data["body_kg"] if self.form.is_valid() else None

    @property
    def main(self) -> ProgramExercise | None:
        return self.draft.main

    @cached_property
    def estimates(self) -> tuple[loads.Estimate, ...]:
        """The seven equations side by side, where the main exercise has a load and repetitions."""
        main = self.main
        if main is None or not main.load_kg or not main.repetitions:
            return ()
        return loads.repetition_maxima(main.load_kg, main.repetitions)

    @property
    def spread(self) -> tuple[float, float] | None:
        """The lowest and the highest of the estimates that may be read here, in kg."""
        read = [row.kg for row in self.estimates if row.within_limits]
        return (min(read), max(read)) if read else None

    @property
    def linear_limit(self) -> Figure:
        return loads.LINEAR_LIMIT

    @property
    def chart(self) -> Figure | None:
        """The chart's share of the maximum at so many repetitions, or None where it prints no row."""
        asked = self.main.repetitions if self.main else None
        return loads.chart_percent(asked) if asked in loads.PERCENT_CHART else None

    @property
    def sex(self) -> loads.Sex | None:
        return loads.published_for(self.draft.case.patient.sex)

    @property
    def strength(self) -> Figure:
        return torque.WRIST_EXTENSION_MEN

    @cached_property
    def torques(self) -> tuple[Torque, ...]:
        found = (self._torque(one) for one in self.draft.exercises.all())
        return tuple(row for row in found if row)

    def _torque(self, one: ProgramExercise) -> Torque | None:
        if one.card in AT_THE_WRIST and one.load_kg and self.body_kg and self.sex:
            nm = torque.wrist_torque_nm(one.load_kg, body_kg=self.body_kg, sex=self.sex)
            share = torque.share_of_strength(nm) if self.sex == "male" else None
            return Torque(name=one.of_card.name, about=_("wrist, hand level"), nm=nm, share=share)
        if one.card == TURNS and self.equipment and self.equipment.hammer_m:
            nm = torque.rotation_torque_nm(
                one.load_kg or self.equipment.hammer_kg, lever_m=self.equipment.hammer_m
            )
            return Torque(name=one.of_card.name, about=_("rotation, hammer level"), nm=nm)
        return None

    @property
    def equipment(self) -> Equipment | None:
        return Equipment.of_case(self.draft.case)

    @property
    def work(self) -> tuple[WorkRow, ...]:
        now = {one.card: one for one in self.draft.exercises.all()}
        earlier = {one.card: one for one in self.before.exercises.all()} if self.before else {}
        return tuple(
            WorkRow(
                name=(now.get(card) or earlier[card]).of_card.name,
                now=work_of(now[card].dose) if card in now else None,
                before=work_of(earlier[card].dose) if card in earlier else None,
            )
            for card in {**now, **earlier}
        )
