"""One round of the battery: resting pain first, then one row a finding."""

from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.battery_tests import BATTERY
from cases.clinical.findings import ExpectedFinding, Place, expected_findings
from cases.clinical.maneuver import ProvocationTest
from cases.models import Battery, Finding, Visit
from cases.models.battery import FINGERS
from clinic.forms import Stamped

Answer = Finding.Answer
PAIN = gettext_lazy("Pain is a whole number from 0 to 10.")
# Which of the three further fields an answer needs, and the sentence that asks for it.
NEEDS = {
    Answer.FAMILIAR: ("pain", gettext_lazy("Say how strong the familiar pain was, 0–10.")),
    Answer.OTHER: ("where", gettext_lazy("Say where the other pain was.")),
    Answer.NOT_DONE: ("why_not_done", gettext_lazy("Say why the test was not done.")),
}
# Which further fields mean something beside an answer; the others are left out.
MEANT = {
    Answer.FAMILIAR: ("pain",),
    Answer.OTHER: ("pain", "where"),
    Answer.NOT_DONE: ("why_not_done",),
}
SHORT = {
    "pain": gettext_lazy("Pain, 0–10"),
    "where": gettext_lazy("Where"),
    "why_not_done": gettext_lazy("Why not done"),
}
NOTHING = {"pain": None, "where": "", "why_not_done": ""}


def pain_field(*, ask: str = "", **kwargs) -> forms.IntegerField:
    messages = {"min_value": PAIN, "max_value": PAIN, "invalid": PAIN, "required": ask}
    messages |= kwargs.pop("error_messages", {})
    return forms.IntegerField(min_value=0, max_value=10, error_messages=messages, **kwargs)


def row_name(expected: ExpectedFinding) -> str:
    finger = f"-{expected.finger}" if expected.finger else ""
    return f"{expected.test.code}-{expected.side}{finger}"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One finding of the form with its fields."""

    label: str
    affected: bool
    answer: forms.BoundField
    further: tuple[tuple[str, forms.BoundField], ...]


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

    def __init__(self, *args, visit: Visit, battery: Battery | None, **kwargs):
        self.visit, self.battery = visit, battery
        self.expected = {
            row_name(expected): expected for expected in expected_findings(visit.case.affected)
        }
        self.found = (
            {finding.spot: finding for finding in battery.findings.all()} if battery else {}
        )
        super().__init__(*args, **kwargs)
        for name, expected in self.expected.items():
            label = f"{_(expected.test.name)}, {self._label(expected)}"
            self._add(name, label, self.found.get(spot(expected)))
        self.initial |= {
            **(
                {"resting_pain": battery.resting_pain, "performed_by": battery.performed_by}
                if battery
                else {}
            ),
            "go_on": bool(self.found),
        }

    def _add(self, name: str, label: str, found: Finding | None) -> None:
        self.fields |= {
            name: forms.ChoiceField(
                label=label, choices=Answer.choices, widget=forms.RadioSelect, required=False
            ),
            f"{name}-pain": pain_field(
                label=f"{label}: {SHORT['pain']}",
                required=False,
                widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 3}),
            ),
            f"{name}-where": forms.ChoiceField(
                label=f"{label}: {SHORT['where']}",
                required=False,
                choices=[("", "–"), *((place.value, _(place.label)) for place in Place)],
            ),
            f"{name}-why_not_done": forms.CharField(
                label=f"{label}: {SHORT['why_not_done']}",
                required=False,
                max_length=Finding._meta.get_field("why_not_done").max_length,
            ),
        }
        if found:
            self.initial |= {name: found.answer} | {
                f"{name}-{field}": getattr(found, field) for field in NOTHING
            }

    def _label(self, expected: ExpectedFinding) -> str:
        affected = expected.side is self.visit.case.affected
        side = _(expected.side.label)
        text = _("%(side)s, affected") if affected else _("%(side)s, unaffected")
        finger = f", {_(FINGERS[expected.finger])}" if expected.finger else ""
        return text % {"side": side} + finger

    def stored(self) -> dict[str, object]:
        if self.battery is None:
            return {}
        values = {
            "resting_pain": self.battery.resting_pain,
            "performed_by": self.battery.performed_by,
        }
        for name, expected in self.expected.items():
            if found := self.found.get(spot(expected)):
                values |= {name: found.answer} | {
                    f"{name}-{field}": getattr(found, field) for field in NOTHING
                }
        return values

    def clean(self):
        for name in self.expected:
            if "all_none" in self.data and not self.cleaned_data.get(name):
                self.cleaned_data[name] = Answer.NONE
            answer = self.cleaned_data.get(name)
            field, sentence = NEEDS.get(answer, (None, None))
            further = f"{name}-{field}"
            if (
                field
                and self.cleaned_data.get(further) in (None, "")
                and further not in self.errors
            ):
                self.add_error(further, sentence)
        answered = any(self.cleaned_data.get(name) for name in self.expected)
        if self.cleaned_data.get("resting_pain") and answered and not self.cleaned_data["go_on"]:
            self.add_error(
                "go_on",
                _("The arm hurts at rest. Tick this to go on, or leave the tests for another day."),
            )
        return super().clean()

    def groups(self) -> Iterator[tuple[ProvocationTest, list[Row]]]:
        """The rows under their test, in the order in which the arm is tested."""
        for test in BATTERY:
            rows = [self._row(name) for name, e in self.expected.items() if e.test is test]
            yield test, rows

    def _row(self, name: str) -> Row:
        return Row(
            label=capfirst(self._label(self.expected[name])),
            affected=self.expected[name].side is self.visit.case.affected,
            answer=self[name],
            further=tuple((label, self[f"{name}-{field}"]) for field, label in SHORT.items()),
        )

    @property
    def may_be_kept(self) -> bool:
        """Whether the whole rows can be saved; a row that still lacks something does not hold them back."""
        return not self.non_field_errors() and not {"resting_pain", "go_on"} & self.errors.keys()

    def keep(self) -> Battery:
        """Save the rows that are whole; one that lost its answer or is not whole is not on record."""
        self.battery = self.battery or Battery(visit=self.visit)
        self.battery.performed_on = self.visit.on
        self.battery.resting_pain = self.cleaned_data["resting_pain"]
        self.battery.performed_by = self.cleaned_data["performed_by"]
        self.battery.save()
        self.battery.write([self._finding(name) for name in self.expected if self._is_whole(name)])
        self.found = {finding.spot: finding for finding in self.battery.findings.all()}
        self.restamp()
        return self.battery

    def _is_whole(self, name: str) -> bool:
        fields = {name, *(f"{name}-{field}" for field in NOTHING)}
        return bool(self.cleaned_data.get(name)) and not fields & self.errors.keys()

    def _finding(self, name: str) -> Finding:
        expected, answer = self.expected[name], self.cleaned_data[name]
        meant = {field: self.cleaned_data[f"{name}-{field}"] for field in MEANT.get(answer, ())}
        test, side, finger = spot(expected)
        return Finding(test=test, side=side, finger=finger, answer=answer, **(NOTHING | meant))


def spot(expected: ExpectedFinding) -> tuple[str, str, int | None]:
    return expected.test.code, expected.side.value, expected.finger
