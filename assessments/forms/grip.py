"""Grip trials, in the unit on the dial."""

import hashlib
import re
from collections.abc import Iterator

from django import forms
from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.clinical.force import Unit, from_newtons, to_newtons
from assessments.clinical.grip import MAX_SQUEEZES, MAX_TRIALS, PLAUSIBLE_N
from assessments.clinical.grip_questions import DialReading, Question, questions
from assessments.clinical.protocol import LETTERS, WAYS, Squeeze, Struck, Way
from assessments.forms.fields import Reading
from assessments.forms.part import Part
from assessments.models import GripTest
from cases.clinical.sides import Side
from clinic.templatetags.clinic_tags import say
from clinic.wording import short

UNITS = [(unit.value, unit.shown) for unit in Unit]
NUMBERS = range(1, MAX_SQUEEZES + 1)
MOST_N = PLAUSIBLE_N[1].value
BY_LETTER = {letter: why for why, letter in LETTERS.items()}
STRUCK_BY_LETTER = re.compile(rf"\s*([\d.,]+)\s*([{''.join(BY_LETTER)}])\s*", re.IGNORECASE)


def reading_name(way: Way, side: Side, number: int) -> str:
    return f"{way.slug}_{side.value}_{number}"


def struck_name(way: Way, side: Side, number: int) -> str:
    return f"{reading_name(way, side, number)}_struck"


def side_name(side: Side, *, affected: Side) -> str:
    """The side in words, so that nobody has to know which column is which."""
    words = {
        (Side.RIGHT, True): _("Right, affected"),
        (Side.RIGHT, False): _("Right"),
        (Side.LEFT, True): _("Left, affected"),
        (Side.LEFT, False): _("Left"),
    }
    return words[side, side is affected]


def token(question: Question) -> str:
    """What the page sends back when this question, about these readings, is answered by yes."""
    return hashlib.sha256(question.key.encode()).hexdigest()[:12]


class GripPart(Part):
    slug = "grip"

    def fields(self):
        unit = forms.ChoiceField(
            label=gettext_lazy("The dynamometer shows"), choices=UNITS, widget=forms.RadioSelect
        )
        right = forms.CharField(label=gettext_lazy("Right as typed"), required=False)
        return {"unit": unit, "right": right} | self._trial_fields()

    def _trial_fields(self) -> dict[str, forms.Field]:
        fields: dict[str, forms.Field] = {}
        for way, side in self.tests():
            for number in NUMBERS:
                label = _("%(side)s, %(way)s, trial %(number)s") % {
                    "side": side_name(side, affected=self.affected),
                    "way": _(way.name).lower(),
                    "number": number,
                }
                fields[reading_name(way, side, number)] = Reading(label=label)
                fields[struck_name(way, side, number)] = forms.TypedChoiceField(
                    label=_("%(trial)s: counts or struck out") % {"trial": label},
                    choices=[("", _("counts")), *((why.value, _(why.label)) for why in Struck)],
                    coerce=Struck,
                    empty_value=None,
                    required=False,
                )
        return fields

    def tests(self) -> Iterator[tuple[Way, Side]]:
        """Each way on both sides, the unaffected one first."""
        for way in WAYS:
            yield way, self.affected.other
            yield way, self.affected

    def untangled(self, data, prefix: str):
        """A letter after a reading strikes it out, as the list beside it does."""
        data = data.copy()
        for way, side in self.tests():
            for number in NUMBERS:
                name = f"{prefix}-{reading_name(way, side, number)}"
                if found := STRUCK_BY_LETTER.fullmatch(data.get(name) or ""):
                    data[name] = found[1]
                    data[f"{prefix}-{struck_name(way, side, number)}"] = BY_LETTER[found[2].lower()]
        return data

    def stored(self):
        tests = [test for test in self.visit.grip_tests.all() if test.way]
        prefetch_related_objects(tests, "trials")
        if not tests:
            return {}
        unit = Unit(tests[0].unit)
        values: dict[str, object] = {"unit": unit.value}
        for test in tests:
            for trial in test.trials.all():
                spot = (test.way, test.measured_side, trial.number)
                values[reading_name(*spot)] = _dial(trial.force_n, unit)
                values[struck_name(*spot)] = trial.squeeze.struck
        return values

    def initial(self, on_record) -> dict[str, object]:
        """What the page opens with where nothing is on record; what is on record was answered."""
        unit = on_record.get("unit", self.visit.clinic.grip_unit)
        asked = self.questions({"unit": unit} | on_record)
        return {"unit": unit, "right": " ".join(map(token, asked))}

    def questions(self, values) -> tuple[Question, ...]:
        """What is to be asked about the readings in `values`, answered or not."""
        unit = Unit(values.get("unit") or self.visit.clinic.grip_unit)
        readings = (
            DialReading(way=way, side=side, number=number, value=value)
            for way, side in self.tests()
            for number in NUMBERS
            if (value := values.get(reading_name(way, side, number))) is not None
            and not values.get(struck_name(way, side, number))
        )
        return questions(readings, unit, affected=self.affected)

    def open_questions(self, form) -> tuple[Question, ...]:
        """The questions that the box for `right as typed` was not ticked for."""
        answered = (form.cleaned_data.get("right") or "").split()
        return tuple(q for q in self.questions(form.cleaned_data) if token(q) not in answered)

    def check(self, form):
        unit = Unit(form.cleaned_data.get("unit") or self.visit.clinic.grip_unit)
        for way, side in self.tests():
            for number in NUMBERS:
                self._check_trial(form, way, side, number, unit)
            self._refuse_a_fourth(form, way, side)
        if asked := self.open_questions(form):
            form.add_error("right", [say(question.words) for question in asked])

    def _check_trial(self, form, way: Way, side: Side, number: int, unit: Unit) -> None:
        name = reading_name(way, side, number)
        value = form.cleaned_data.get(name)
        if value is not None and to_newtons(value, unit) > MOST_N:
            most = int(from_newtons(MOST_N, unit))
            text = _("%(typed)s %(unit)s is more than a hand can squeeze (%(most)s %(unit)s).")
            form.add_error(name, text % {"typed": f"{value:g}", "unit": unit.shown, "most": most})
        struck = form.cleaned_data.get(struck_name(way, side, number))
        if struck and value is None and name not in form.errors:
            form.add_error(
                name, _("A trial that is struck out keeps its reading. Type it, or let it count.")
            )

    def _refuse_a_fourth(self, form, way: Way, side: Side) -> None:
        values = form.cleaned_data
        counting = [
            reading_name(way, side, number)
            for number in NUMBERS
            if values.get(reading_name(way, side, number)) is not None
            and not values.get(struck_name(way, side, number))
        ]
        if len(counting) > MAX_TRIALS:
            text = _("%(most)s trials count at most. Strike one of them out, or empty this field.")
            form.add_error(counting[-1], text % {"most": MAX_TRIALS})

    def keep(self, form, changed):
        open_questions = self.open_questions(form)
        # A doubtful unit is doubtful for every reading; another question only for those it is about.
        if "unit" in form.errors or any(question.about_unit for question in open_questions):
            return False
        doubtful = {(r.way, r.side) for question in open_questions for r in question.readings}
        unit = Unit(form.cleaned_data["unit"])
        tests = {
            test: self._squeezes(form.cleaned_data, *test, unit)
            for test in self.tests()
            if test not in doubtful and self._is_new(form, *test, changed)
        }
        GripTest.objects.write(self.visit, unit=unit, trials=tests)
        return bool(tests)

    def _is_new(self, form, way: Way, side: Side, changed) -> bool:
        """Whether a test has no wrong field and differs from what is on record."""
        readings = {reading_name(way, side, number) for number in NUMBERS}
        names = readings | {struck_name(way, side, number) for number in NUMBERS}
        given = any(form.cleaned_data.get(name) is not None for name in readings)
        new_unit = given and "unit" in changed
        return not form.errors.keys() & names and bool(new_unit or changed.keys() & names)

    def squeezes_on_record(self, on_record, way: Way, side: Side) -> dict[int, Squeeze]:
        """The trials of one test as they are stored, by number."""
        if not on_record:
            return {}
        return self._squeezes(on_record, way, side, Unit(on_record.get("unit") or Unit.N))

    def _squeezes(self, values, way: Way, side: Side, unit: Unit) -> dict[int, Squeeze]:
        return {
            number: Squeeze(
                force_n=to_newtons(value, unit), struck=values.get(struck_name(way, side, number))
            )
            for number in NUMBERS
            if (value := values.get(reading_name(way, side, number))) is not None
        }


def _dial(force_n: float, unit: Unit) -> float:
    """A stored force as the dial showed it: whole numbers without a decimal."""
    return short(round(from_newtons(force_n, unit), 3))
