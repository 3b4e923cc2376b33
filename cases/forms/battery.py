"""One round of the battery: resting pain first, then one row a finding."""

from collections.abc import Iterator

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.battery_before import (
    FINGER_TEST,
    NO_LIFT,
    fingers_do_not_lift,
    open_emergencies,
)
from cases.clinical.battery_optional import OPTIONAL
from cases.clinical.battery_raised import STOP_PAIN, must_stop
from cases.clinical.battery_tests import BATTERY
from cases.clinical.findings import (
    ExpectedFinding,
    Performer,
    expected_findings,
    optional_findings,
)
from cases.clinical.maneuver import ProvocationTest
from cases.clinical.palpation import POINTS
from cases.clinical.screening import GivenAnswer
from cases.forms.battery_rows import (
    MEANT,
    NEEDS,
    NOTHING,
    SHORT,
    Answer,
    Group,
    PointRow,
    Row,
    drawn_at,
    finding_fields,
    point_field,
    point_name,
    row_name,
    side_label,
    way_field,
    way_name,
)
from cases.forms.told import pain_field
from cases.models import Battery, Finding, PalpationPoint, Visit
from clinic.forms import Stamped
from clinic.wording import Sentence, gettext_noop, say

# Buttons that answer what is still open; each posts its own name.
FILLS = ("all_none", "stop_here", "fingers_not_done")


class BatteryForm(Stamped, forms.Form):
    """Saves itself while it is filled in; rows without an answer are simply not there yet."""

    saves_itself = True

    resting_pain = pain_field(
        label=gettext_lazy("Pain at rest, before the first test"),
        ask=gettext_lazy("Ask the pain at rest first, 0–10."),
    )
    performed_by = forms.ChoiceField(
        label=gettext_lazy("Performed by"),
        choices=Battery.PerformedBy.choices,
        widget=forms.RadioSelect,
        initial=Battery.PerformedBy.CLINICIAN,
    )
    go_on = forms.BooleanField(
        label=gettext_lazy("Go on with the tests all the same"), required=False
    )
    despite = forms.BooleanField(
        label=gettext_lazy("The emergency is seen to; test all the same"), required=False
    )

    def __init__(
        self,
        *args,
        visit: Visit,
        battery: Battery | None,
        screened: tuple[GivenAnswer, ...] = (),
        **kwargs,
    ):
        self.visit, self.battery, self.affected = visit, battery, visit.case.affected
        self.emergencies = open_emergencies(screened)
        self.no_finger_lifts = fingers_do_not_lift(screened)
        asked = (*expected_findings(self.affected), *optional_findings(self.affected))
        self.asked = {row_name(expected): expected for expected in asked}
        self.point_names = {
            point_name(point, side): (point, side)
            for point in POINTS
            for side in (self.affected.other, self.affected)
        }
        self._look()
        super().__init__(*args, **kwargs)
        for name, expected in self.asked.items():
            label = f"{_(expected.test.name)}, {side_label(expected, self.affected)}"
            self.fields |= finding_fields(name, label, expected.test)
        for test in (*BATTERY, *OPTIONAL):
            self.fields[way_name(test)] = way_field(test)
        for name, (point, side) in self.point_names.items():
            self.fields[name] = point_field(point, side, self.affected)
        self.initial |= self.stored() | {
            "go_on": bool(self.found),
            "despite": self._was_confirmed(),
        }

    def _look(self) -> None:
        findings = self.battery.findings.all() if self.battery else ()
        points = self.battery.points.all() if self.battery else ()
        self.found = {finding.spot: finding for finding in findings}
        self.pressed = {(point.point, point.side): point.pain for point in points}

    def _was_confirmed(self) -> bool:
        confirmed = self.battery.despite.split() if self.battery else []
        return bool(confirmed) and {q.code for q in self.emergencies} <= set(confirmed)

    def stored(self) -> dict[str, object]:
        if self.battery is None:
            return {}
        values = {
            "resting_pain": self.battery.resting_pain,
            "performed_by": self.battery.performed_by,
        }
        for name, expected in self.asked.items():
            if found := self.found.get(expected.spot):
                values |= {name: found.answer}
                values |= {f"{name}-{field}": getattr(found, field) for field in NOTHING}
                # A test not done has no way of its own: the other findings of the test say it.
                way = way_name(expected.test)
                values[way] = found.variant or values.get(way, "")
        for (point, side), pain in self.pressed.items():
            values[f"point-{point}-{side}"] = pain
        return values

    @property
    def fills(self) -> str:
        """The button that answers what is still open, when it was pressed."""
        return next((name for name in FILLS if name in self.data), "")

    def clean(self):
        if self.fills:
            self._fill()
        for name in self.asked:
            field, sentence = NEEDS.get(self.cleaned_data.get(name), (None, None))
            further = f"{name}-{field}"
            empty = self.cleaned_data.get(further) in (None, "")
            if field and empty and further not in self.errors:
                self.add_error(further, sentence)
        self._ask_before_testing()
        return super().clean()

    def _ask_before_testing(self) -> None:
        nothing = ("", None, Answer.NOT_DONE)
        answers = (self.cleaned_data.get(name) for name in (*self.asked, *self.point_names))
        if all(answer in nothing for answer in answers):
            return
        if self.emergencies and not self.cleaned_data["despite"]:
            self.add_error(
                "despite",
                _(
                    "The screening found an emergency. Tick this when it is seen to, or do not test."
                ),
            )
        if self.cleaned_data.get("resting_pain") and not self.cleaned_data["go_on"]:
            self.add_error(
                "go_on",
                _("The arm hurts at rest. Tick this to go on, or leave the tests for another day."),
            )

    def _fill(self) -> None:
        filled = {}
        performer = Performer(self.cleaned_data.get("performed_by") or Performer.CLINICIAN)
        for expected in expected_findings(self.affected, performer=performer):
            if not self.cleaned_data.get(row_name(expected)):
                filled |= self._filled_in(expected)
        self.cleaned_data |= filled
        self._put(**filled)

    def _filled_in(self, expected: ExpectedFinding) -> dict[str, object]:
        """What the pressed button says of a finding that is still open."""
        name = row_name(expected)
        if self._cannot_lift(expected) and self.fills != "stop_here":
            return {name: Answer.NOT_DONE, f"{name}-why_not_done": _(NO_LIFT)}
        if self.fills == "all_none":
            strength = Finding.Strength.NORMAL if expected.test.has_strength else ""
            return {name: Answer.NONE, f"{name}-strength": strength}
        if self.fills == "stop_here":
            return {name: Answer.NOT_DONE, f"{name}-why_not_done": _("round stopped")}
        return {}

    def _cannot_lift(self, expected: ExpectedFinding) -> bool:
        fingers = expected.test.code == FINGER_TEST and expected.side is self.affected
        return fingers and self.no_finger_lifts

    def groups(self) -> Iterator[Group]:
        """The five tests with their rows, in the order in which the arm is tested."""
        return (self._group(test) for test in BATTERY)

    def optional_groups(self) -> list[Group]:
        return [self._group(test) for test in OPTIONAL]

    def _group(self, test: ProvocationTest) -> Group:
        rows = tuple(self._row(name) for name, e in self.asked.items() if e.test is test)
        way = self[way_name(test)]
        return Group(
            test=test,
            rows=rows,
            way=way,
            stop=self.stop_at(test),
            is_open=any(row.answer.value() or row.answer.errors for row in rows),
        )

    def _row(self, name: str) -> Row:
        expected = self.asked[name]
        further = (
            (label, self[f"{name}-{field}"])
            for field, label in SHORT.items()
            if f"{name}-{field}" in self.fields and field != "tingling"
        )
        return Row(
            label=capfirst(side_label(expected, self.affected)),
            affected=expected.side is self.affected,
            answer=self[name],
            further=tuple(further),
            tingling=self[f"{name}-tingling"],
        )

    def points(self) -> list[PointRow]:
        sides = (self.affected.other, self.affected)
        return [
            PointRow(
                number=number,
                point=point,
                x=drawn_at(point, self.affected),
                fields=tuple(self[point_name(point, side)] for side in sides),
            )
            for number, point in enumerate(POINTS, start=1)
        ]

    def stop_at(self, test: ProvocationTest) -> Sentence | None:
        """Why usual practice ends the round at this test, while something of it is still to do."""
        here = [found.given() for found in self.found.values() if found.test == test.code]
        painful = [finding for finding in here if must_stop(finding)]
        if not painful or not self._still_to_do():
            return None
        if any(finding.tingling for finding in painful):
            return say(gettext_noop("New tingling in this test."))
        text = gettext_noop("Pain of %(limit)s of 10 or more in this test.")
        return say(text, limit=int(STOP_PAIN.value))

    def _still_to_do(self) -> bool:
        expected = expected_findings(self.affected, performer=self.battery.performer)
        return any(e.spot not in self.found for e in expected)

    def stops(self) -> list[tuple[ProvocationTest, Sentence | None]]:
        return [(test, self.stop_at(test)) for test in (*BATTERY, *OPTIONAL)]

    @property
    def may_be_kept(self) -> bool:
        """Whether the whole rows can be saved; a row that still lacks something does not hold them back."""
        before = {"resting_pain", "performed_by", "go_on", "despite"}
        return not self.non_field_errors() and not before & self.errors.keys()

    def keep(self) -> Battery:
        """Save the rows that are whole; one that lost its answer or is not whole is not on record."""
        self.battery = self.battery or Battery(visit=self.visit)
        self.battery.performed_on = self.visit.on
        self.battery.resting_pain = self.cleaned_data["resting_pain"]
        self.battery.performed_by = self.cleaned_data["performed_by"]
        if self.emergencies:
            confirmed = self.emergencies if self.cleaned_data["despite"] else ()
            self.battery.despite = " ".join(question.code for question in confirmed)
        self.battery.save()
        self.battery.write([self._finding(name) for name in self.asked if self._is_whole(name)])
        self.battery.press(list(self._points()))
        self._look()
        self.restamp()
        return self.battery

    def _is_whole(self, name: str) -> bool:
        fields = {name, *(f"{name}-{field}" for field in NOTHING)}
        return bool(self.cleaned_data.get(name)) and not fields & self.errors.keys()

    def _finding(self, name: str) -> Finding:
        expected, answer = self.asked[name], self.cleaned_data[name]
        meant = {field: self.cleaned_data.get(f"{name}-{field}") for field in MEANT[answer]}
        if answer != Answer.NOT_DONE:
            meant["variant"] = self.cleaned_data.get(way_name(expected.test), "")
        if not expected.test.has_strength:
            meant.pop("strength", None)
        test, side, finger = expected.spot
        return Finding(test=test, side=side, finger=finger, answer=answer, **(NOTHING | meant))

    def _points(self) -> Iterator[PalpationPoint]:
        for name, (point, side) in self.point_names.items():
            pain = self.cleaned_data.get(name)
            if pain is not None:
                yield PalpationPoint(point=point.code, side=side.value, pain=pain)
