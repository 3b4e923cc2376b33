"""What is typed about one visit's measures, in the units of the dynamometer, and the message it gets."""

from collections.abc import Iterator

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.clinical.grip import MAX_TRIALS, PLAUSIBLE_N, Unit, from_newtons, to_newtons
from assessments.clinical.measures import BY_KEY
from assessments.clinical.pain import Context
from assessments.clinical.protocol import LOW_GRIP, WAYS, Way, seems_too_low
from assessments.clinical.questionnaires import tennis_elbow
from assessments.models import GripTest, PainRating, QuestionnaireResponse
from cases.clinical.sides import Side
from cases.models import Visit
from clinic.forms import Stamped

UNITS = [(unit.value, unit.shown) for unit in Unit]
TRIALS = range(1, MAX_TRIALS + 1)
MOST_N = PLAUSIBLE_N[1].value


class Rating(forms.IntegerField):
    """A whole number from 0 to 10, or nothing."""

    widget = forms.TextInput

    def __init__(self, **kwargs):
        super().__init__(required=False, min_value=0, max_value=10, **kwargs)

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"inputmode": "numeric", "autocomplete": "off", "maxlength": "4"}

    def clean(self, value):
        try:
            return super().clean(value)
        except forms.ValidationError as error:
            text = _("%(typed)s is not a whole number from 0 to 10.")
            raise forms.ValidationError(text, params={"typed": value}) from error


class Reading(forms.FloatField):
    """What the dial showed, with a decimal point or comma, or nothing."""

    widget = forms.TextInput

    def __init__(self, **kwargs):
        super().__init__(required=False, min_value=0, **kwargs)

    def widget_attrs(self, widget) -> dict[str, str]:
        return {"inputmode": "decimal", "autocomplete": "off", "maxlength": "8"}

    def clean(self, value):
        try:
            return super().clean(value.replace(",", ".") if value else value)
        except forms.ValidationError as error:
            text = _("%(typed)s is not a grip. Type a number such as 34.5, or leave it empty.")
            raise forms.ValidationError(text, params={"typed": value}) from error


def reading_name(way: Way, side: Side, number: int) -> str:
    return f"{way.slug}_{side.value}_{number}"


def pain_name(context: Context) -> str:
    return f"pain_{context.value}"


def side_name(side: Side, *, affected: Side) -> str:
    """The side in words, so that nobody has to know which column is which."""
    words = {
        (Side.RIGHT, True): _("Right, affected"),
        (Side.RIGHT, False): _("Right"),
        (Side.LEFT, True): _("Left, affected"),
        (Side.LEFT, False): _("Left"),
    }
    return words[side, side is affected]


class MeasuresForm(Stamped, forms.Form):
    """Pain, grip and the questionnaire of one draft visit; it saves itself while it is typed."""

    saves_itself = True

    unit = forms.ChoiceField(
        label=gettext_lazy("The dynamometer shows"), choices=UNITS, widget=forms.RadioSelect
    )
    right = forms.BooleanField(
        label=gettext_lazy("The low readings are right as typed"),
        help_text=gettext_lazy("Otherwise choose the unit that the dynamometer shows."),
        required=False,
    )

    def __init__(self, data=None, *, visit: Visit):
        self.visit, self.affected = visit, visit.case.affected
        super().__init__(data, prefix="measures")
        self.fields |= self._rating_fields() | self._reading_fields()
        self.initial = {"unit": visit.clinic.grip_unit} | self.on_record | self.initial
        self.initial["right"] = bool(self.low_readings(self.initial))

    def _rating_fields(self) -> dict[str, forms.Field]:
        pains = {pain_name(at): Rating(label=_(BY_KEY[pain_name(at)].name)) for at in Context}
        items = {
            f"item_{item.number}": Rating(label=_("Item %(number)s") % {"number": item.number})
            for item in tennis_elbow.ITEMS
        }
        return pains | items

    def _reading_fields(self) -> dict[str, forms.Field]:
        return {
            reading_name(way, side, number): Reading(
                label=_("%(side)s, %(way)s, trial %(number)s")
                % {
                    "side": side_name(side, affected=self.affected),
                    "way": _(way.name).lower(),
                    "number": number,
                }
            )
            for way, side in self.tests()
            for number in TRIALS
        }

    def tests(self) -> Iterator[tuple[Way, Side]]:
        """Each way on both sides, the unaffected one first."""
        for way in WAYS:
            yield way, self.affected.other
            yield way, self.affected

    def stored(self) -> dict[str, object]:
        pains = {
            pain_name(Context(rating.context)): rating.value
            for rating in PainRating.objects.at(self.visit)
        }
        answers = QuestionnaireResponse.objects.at(self.visit)
        items = {
            f"item_{number}": value for form in answers for number, value in form.answers().items()
        }
        readings = self._stored_readings()
        if not (pains or items or readings):
            return {}
        names = [*self._rating_fields(), *self._reading_fields()]
        return dict.fromkeys(names) | pains | items | readings

    def _stored_readings(self) -> dict[str, object]:
        tests = [test for test in GripTest.objects.at(self.visit).with_trials() if test.way]
        if not tests:
            return {}
        unit = Unit(tests[0].unit)
        readings = {
            reading_name(test.way, test.measured_side, trial.number): _dial(trial.force_n, unit)
            for test in tests
            for trial in test.trials.all()
        }
        return readings | {"unit": unit.value}

    def clean(self):
        unit = Unit(self.cleaned_data.get("unit") or self.visit.clinic.grip_unit)
        self._refuse_too_much(unit)
        if self.low_readings(self.cleaned_data) and not self.cleaned_data.get("right"):
            self.add_error("right", self._question(unit))
        if self.visit.is_signed:
            raise forms.ValidationError(
                _("This visit is signed. Nothing was saved; copy it into an addendum."),
                code="signed",
            )
        return super().clean()

    def _refuse_too_much(self, unit: Unit) -> None:
        for name in self._reading_fields():
            value = self.cleaned_data.get(name)
            if value is not None and to_newtons(value, unit) > MOST_N:
                most = int(from_newtons(MOST_N, unit))
                text = _("%(typed)s %(unit)s is more than a hand can squeeze (%(most)s %(unit)s).")
                values = {"typed": f"{value:g}", "unit": unit.shown, "most": most}
                self.add_error(name, text % values)

    def _question(self, unit: Unit) -> str:
        if unit is Unit.N:
            text = _("Below %(limit)s N for a grip that pain does not stop: is the dial in kg?")
        else:
            text = _("Below %(limit)s N for a grip that pain does not stop: is that right?")
        return text % {"limit": f"{LOW_GRIP.value:g}"}

    def low_readings(self, values) -> list[str]:
        """Names of the readings in `values` that are so low that another unit is likely."""
        unit = Unit(values.get("unit") or self.visit.clinic.grip_unit)
        return [
            name
            for way, side in self.tests()
            for number in TRIALS
            if (value := values.get(name := reading_name(way, side, number))) is not None
            and seems_too_low(value, unit, way, affected=side is self.affected)
        ]

    @property
    def asks(self) -> bool:
        """Whether the question about the unit is on the page."""
        return "right" in self.errors or bool(
            self.low_readings(self.cleaned_data if self.is_bound else self.initial)
        )

    @property
    def may_be_kept(self) -> bool:
        """Whether something can be saved: one wrong number must not hold the others back."""
        return not self.non_field_errors()

    def keep(self) -> list[str]:
        """Save what is right and has changed; say which parts did."""
        parts = {
            "pain": self._keep_pains(),
            "grip": self._keep_grips(),
            "questionnaire": self._keep_answers(),
        }
        self.restamp()
        return [part for part, changed in parts.items() if changed]

    def _changed(self, name: str) -> bool:
        return name in self.cleaned_data and self.cleaned_data[name] != self.on_record.get(name)

    def _keep_pains(self) -> bool:
        changed = [at for at in Context if self._changed(pain_name(at))]
        ratings = {at: self.cleaned_data[pain_name(at)] for at in changed}
        PainRating.objects.write(self.visit, ratings)
        return bool(changed)

    def _keep_answers(self) -> bool:
        names = {item.number: f"item_{item.number}" for item in tennis_elbow.ITEMS}
        if not any(self._changed(name) for name in names.values()):
            return False
        answers = {
            number: self.cleaned_data.get(name, self.on_record.get(name))
            for number, name in names.items()
        }
        QuestionnaireResponse.objects.write(self.visit, answers)
        return True

    def _keep_grips(self) -> bool:
        # A doubtful unit is doubtful for every reading, so that none is kept until the question is answered.
        if self.errors.keys() & {"unit", "right"}:
            return False
        unit = Unit(self.cleaned_data["unit"])
        changed = {(way, side): trials for way, side, trials in self._changed_tests(unit)}
        GripTest.objects.write(self.visit, unit=unit, trials_n=changed)
        return bool(changed)

    def _changed_tests(self, unit: Unit) -> Iterator[tuple[Way, Side, dict[int, float]]]:
        """Tests without a wrong reading that differ from what is on record."""
        for way, side in self.tests():
            names = {number: reading_name(way, side, number) for number in TRIALS}
            wrong = any(name in self.errors for name in names.values())
            given = {
                number: self.cleaned_data[name]
                for number, name in names.items()
                if self.cleaned_data.get(name) is not None
            }
            new_unit = bool(given) and self._changed("unit")
            if not wrong and (new_unit or any(self._changed(name) for name in names.values())):
                yield way, side, {n: to_newtons(value, unit) for n, value in given.items()}


def _dial(force_n: float, unit: Unit) -> float:
    """A stored force as the dial showed it: whole numbers without a decimal."""
    shown = round(from_newtons(force_n, unit), 3)
    return int(shown) if shown == int(shown) else shown
