"""Grip trials, in the unit on the dial."""

from collections.abc import Iterator

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.clinical.grip import MAX_TRIALS, PLAUSIBLE_N, Unit, from_newtons, to_newtons
from assessments.clinical.protocol import LOW_GRIP, WAYS, Squeeze, Way, seems_too_low
from assessments.forms.fields import Reading
from assessments.forms.part import Part
from assessments.models import GripTest
from cases.clinical.sides import Side

UNITS = [(unit.value, unit.shown) for unit in Unit]
TRIALS = range(1, MAX_TRIALS + 1)
MOST_N = PLAUSIBLE_N[1].value


def reading_name(way: Way, side: Side, number: int) -> str:
    return f"{way.slug}_{side.value}_{number}"


def side_name(side: Side, *, affected: Side) -> str:
    """The side in words, so that nobody has to know which column is which."""
    words = {
        (Side.RIGHT, True): _("Right, affected"),
        (Side.RIGHT, False): _("Right"),
        (Side.LEFT, True): _("Left, affected"),
        (Side.LEFT, False): _("Left"),
    }
    return words[side, side is affected]


class GripPart(Part):
    slug = "grip"

    def fields(self):
        unit = forms.ChoiceField(
            label=gettext_lazy("The dynamometer shows"), choices=UNITS, widget=forms.RadioSelect
        )
        right = forms.BooleanField(
            label=gettext_lazy("The low readings are right as typed"),
            help_text=gettext_lazy("Otherwise choose the unit that the dynamometer shows."),
            required=False,
        )
        return {"unit": unit, "right": right} | self.reading_fields()

    def reading_fields(self) -> dict[str, Reading]:
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

    def stored(self):
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

    def initial(self, on_record) -> dict[str, object]:
        """What the page opens with where nothing is on record."""
        unit = on_record.get("unit", self.visit.clinic.grip_unit)
        return {"unit": unit, "right": bool(self.low_readings({"unit": unit} | on_record))}

    def check(self, form):
        unit = Unit(form.cleaned_data.get("unit") or self.visit.clinic.grip_unit)
        self._refuse_too_much(form, unit)
        if self.low_readings(form.cleaned_data) and not form.cleaned_data.get("right"):
            form.add_error("right", self._question(unit))

    def _refuse_too_much(self, form, unit: Unit) -> None:
        for name in self.reading_fields():
            value = form.cleaned_data.get(name)
            if value is not None and to_newtons(value, unit) > MOST_N:
                most = int(from_newtons(MOST_N, unit))
                text = _("%(typed)s %(unit)s is more than a hand can squeeze (%(most)s %(unit)s).")
                values = {"typed": f"{value:g}", "unit": unit.shown, "most": most}
                form.add_error(name, text % values)

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

    def keep(self, form, changed):
        # A doubtful unit is doubtful for every reading, so that none is kept until the question is answered.
        if form.errors.keys() & {"unit", "right"}:
            return False
        unit = Unit(form.cleaned_data["unit"])
        tests = {(way, side): trials for way, side, trials in self._changed(form, changed, unit)}
        GripTest.objects.write(self.visit, unit=unit, trials=tests)
        return bool(tests)

    def _changed(self, form, changed, unit: Unit) -> Iterator[tuple[Way, Side, dict[int, Squeeze]]]:
        """Tests without a wrong reading that differ from what is on record."""
        for way, side in self.tests():
            names = {number: reading_name(way, side, number) for number in TRIALS}
            wrong = any(name in form.errors for name in names.values())
            given = {
                number: form.cleaned_data[name]
                for number, name in names.items()
                if form.cleaned_data.get(name) is not None
            }
            new_unit = bool(given) and "unit" in changed
            if not wrong and (new_unit or changed.keys() & set(names.values())):
                yield (
                    way,
                    side,
                    {
                        number: Squeeze(force_n=to_newtons(value, unit))
                        for number, value in given.items()
                    },
                )


def _dial(force_n: float, unit: Unit) -> float:
    """A stored force as the dial showed it: whole numbers without a decimal."""
    shown = round(from_newtons(force_n, unit), 3)
    return int(shown) if shown == int(shown) else shown
