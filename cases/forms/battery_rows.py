"""The fields of one finding, of one test and of one palpation point."""

from dataclasses import dataclass

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.findings import ExpectedFinding, Place
from cases.clinical.maneuver import ProvocationTest, Variant
from cases.clinical.palpation import DRAWN_WIDTH, Point
from cases.clinical.sides import Side
from cases.forms.told import pain_field
from cases.models import Finding
from cases.models.battery import FINGERS
from clinic.wording import Sentence

Answer = Finding.Answer
# Which of the further fields an answer needs, and the sentence that asks for it.
NEEDS = {
    Answer.FAMILIAR: ("pain", gettext_lazy("Say how strong the familiar pain was, 0–10.")),
    Answer.OTHER: ("where", gettext_lazy("Say where the other pain was.")),
    Answer.NOT_DONE: ("why_not_done", gettext_lazy("Say why the test was not done.")),
}
# Which further fields mean something beside an answer; the others are left out.
MEANT = {
    Answer.NONE: ("strength", "tingling"),
    Answer.FAMILIAR: ("pain", "strength", "tingling"),
    Answer.OTHER: ("pain", "where", "strength", "tingling"),
    Answer.NOT_DONE: ("why_not_done",),
}
SHORT = {
    "pain": gettext_lazy("Pain, 0–10"),
    "where": gettext_lazy("Where"),
    "why_not_done": gettext_lazy("Why not done"),
    "strength": gettext_lazy("Strength"),
    "tingling": gettext_lazy("New tingling"),
}
NOTHING = {"pain": None, "where": "", "why_not_done": "", "strength": "", "tingling": False}


@dataclass(frozen=True, kw_only=True)
class Row:
    """One finding of the form with its fields."""

    label: str
    affected: bool
    answer: forms.BoundField
    further: tuple[tuple[str, forms.BoundField], ...]
    tingling: forms.BoundField


@dataclass(frozen=True, kw_only=True)
class Group:
    """One test of the form; `stop` says why usual practice ends the round here."""

    test: ProvocationTest
    rows: tuple[Row, ...]
    way: forms.BoundField
    stop: Sentence | None
    is_open: bool

    @property
    def ways(self) -> list[tuple[forms.boundfield.BoundWidget, Variant | None]]:
        """The usual way and each published one, beside its key."""
        return list(zip(self.way, (None, *self.test.variants), strict=True))


@dataclass(frozen=True, kw_only=True)
class PointRow:
    """One palpation point with a rating on both sides, the unaffected one first; `x` is on the drawing."""

    number: int
    point: Point
    x: int
    fields: tuple[forms.BoundField, ...]


def typed_pain(label: str, **attrs) -> forms.IntegerField:
    """A rating that is typed into a line of its own, and may be left out."""
    widget = forms.TextInput(attrs={"inputmode": "numeric", "size": 3} | attrs)
    return pain_field(label=label, required=False, widget=widget)


def point_field(point: Point, side: Side, affected: Side) -> forms.IntegerField:
    """The rating of one point, in a table whose heads stand for its label."""
    label = point_label(point, side, affected)
    # The dash lets the style sheet tell an empty rating from a typed one.
    return typed_pain(label, **{"aria-label": label, "placeholder": "–"})


def row_name(expected: ExpectedFinding) -> str:
    finger = f"-{expected.finger}" if expected.finger else ""
    return f"{expected.test.code}-{expected.side}{finger}"


def way_name(test: ProvocationTest) -> str:
    return f"{test.code}-way"


def point_name(point: Point, side: Side) -> str:
    return f"point-{point.code}-{side}"


def side_label(expected: ExpectedFinding, affected: Side) -> str:
    text = _("%(side)s, affected") if expected.side is affected else _("%(side)s, unaffected")
    finger = f", {_(FINGERS[expected.finger])}" if expected.finger else ""
    return text % {"side": _(expected.side.label)} + finger


def drawn_at(point: Point, side: Side) -> int:
    """How far along the drawing of a right or left elbow a point is; the left one is its mirror image."""
    return point.at[0] if side is Side.RIGHT else DRAWN_WIDTH - point.at[0]


def finding_fields(name: str, label: str, test: ProvocationTest) -> dict[str, forms.Field]:
    """The fields of one finding, by name; strength only where something is resisted."""
    fields = {
        name: forms.ChoiceField(
            label=label, choices=Answer.choices, widget=forms.RadioSelect, required=False
        ),
        f"{name}-pain": typed_pain(f"{label}: {SHORT['pain']}"),
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
        f"{name}-tingling": forms.BooleanField(
            label=f"{label}: {SHORT['tingling']}", required=False
        ),
    }
    if test.has_strength:
        fields[f"{name}-strength"] = forms.ChoiceField(
            label=f"{label}: {SHORT['strength']}",
            required=False,
            choices=[("", "–"), *Finding.Strength.choices],
        )
    return fields


def way_field(test: ProvocationTest) -> forms.ChoiceField:
    ways = ((variant.code, _(variant.text)) for variant in test.variants)
    return forms.ChoiceField(
        label=_("%(test)s: what was really done") % {"test": _(test.name)},
        choices=[("", _("As described above")), *ways],
        widget=forms.RadioSelect,
        required=False,
    )


def point_label(point: Point, side: Side, affected: Side) -> str:
    text = (
        _("%(point)s, %(side)s, affected")
        if side is affected
        else _("%(point)s, %(side)s, unaffected")
    )
    return capfirst(text % {"point": _(point.name), "side": _(side.label)})
