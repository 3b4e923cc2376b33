"""Six points on two still pictures of a backhand; the pictures themselves are never sent."""

from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from cases.clinical.sides import Side
from cases.clinical.wrist_angle import View
from cases.models import Case, WristAngle
from cases.models.wrist import MOMENTS, PLACES, arm_points

MOST_PIXELS = 20_000
MOMENT_NAMES = {
    "contact": gettext_lazy("At contact"),
    "after": gettext_lazy("Shortly after"),
}
PLACE_NAMES = {
    "forearm": gettext_lazy("Forearm, middle"),
    "wrist": gettext_lazy("Wrist, middle"),
    "knuckle": gettext_lazy("Knuckle of the middle finger"),
}


def point_name(moment: str, place: str, axis: str) -> str:
    return f"{moment}_{place}_{axis}"


class Pixel(forms.IntegerField):
    """A whole number of pixels."""

    def __init__(self, **kwargs):
        wrong = gettext_lazy("Type whole pixels from 0 to 20000.")
        messages = dict.fromkeys(("invalid", "min_value", "max_value"), wrong)
        messages["required"] = gettext_lazy("Click the point, or type its two numbers.")
        super().__init__(min_value=0, max_value=MOST_PIXELS, error_messages=messages, **kwargs)

    def widget_attrs(self, widget) -> dict[str, object]:
        return {**super().widget_attrs(widget), "step": 1}


@dataclass(frozen=True, kw_only=True)
class PointRow:
    """One point with its two fields."""

    place: str
    label: str
    x: forms.BoundField
    y: forms.BoundField


class WristAngleForm(forms.ModelForm):
    """What is typed or clicked; the angles are computed here, not in the browser."""

    arm = forms.ChoiceField(
        label=gettext_lazy("Arm that plays the backhand"),
        choices=lambda: [(slug, _(word)) for slug, word in Side.choices()],
        widget=forms.RadioSelect,
    )
    seen_from = forms.ChoiceField(
        label=gettext_lazy("The camera sees the hand from"),
        help_text=gettext_lazy("From above and behind it is mostly the thumb side."),
        choices=lambda: [(slug, _(word)) for slug, word in View.choices()],
        widget=forms.RadioSelect,
    )
    mirrored = forms.BooleanField(
        label=gettext_lazy("The picture is mirrored (as phones do with the front camera)"),
        required=False,
    )

    class Meta:
        model = WristAngle
        fields = ["arm", "seen_from", "mirrored", "note"]

    def __init__(self, *args, case: Case, **kwargs):
        super().__init__(*args, **kwargs)
        self.case = case
        self.initial |= {"arm": case.side, "seen_from": View.THUMB.value}
        for moment in MOMENTS:
            for place in PLACES:
                for axis in ("x", "y"):
                    self.fields[point_name(moment, place, axis)] = Pixel(
                        label=f"{MOMENT_NAMES[moment]}, {PLACE_NAMES[place]}, {axis}"
                    )

    def moments(self) -> list[tuple[str, str, list[PointRow]]]:
        """Slug, name and point rows of the two moments."""
        return [(moment, MOMENT_NAMES[moment], self._rows(moment)) for moment in MOMENTS]

    def _rows(self, moment: str) -> list[PointRow]:
        return [
            PointRow(
                place=place,
                label=PLACE_NAMES[place],
                x=self[point_name(moment, place, "x")],
                y=self[point_name(moment, place, "y")],
            )
            for place in PLACES
        ]

    def clean(self):
        cleaned = super().clean()
        if not self.errors:
            for moment in MOMENTS:
                self._check_apart(moment)
        return cleaned

    def _check_apart(self, moment: str) -> None:
        places = arm_points(self._points(moment))
        message = None
        if places.forearm == places.wrist:
            message = _("Forearm and wrist are the same place. Click two different ones.")
        elif places.wrist == places.knuckle:
            message = _("Wrist and knuckle are the same place. Click two different ones.")
        if message:
            self.add_error(point_name(moment, "wrist", "x"), message)

    def _points(self, moment: str) -> dict[str, tuple[int, int]]:
        return {
            place: tuple(self.cleaned_data[point_name(moment, place, axis)] for axis in ("x", "y"))
            for place in PLACES
        }

    def keep(self, *, on, by) -> WristAngle:
        """Store the points and what follows from them."""
        seen = self.instance
        seen.case, seen.on, seen.seen_by = self.case, on, by
        seen.measure({moment: self._points(moment) for moment in MOMENTS})
        return self.save()
