"""From how many people on a combination counts as small, in the file of cases without names."""

from django import forms
from django.utils.translation import gettext_lazy as _

from clinic.templatetags.clinic_tags import say
from rehab.clinical.without_names import SMALLEST_CELLS, USUAL_CELL


def limits() -> list[tuple[int, str]]:
    return [(number, f"{number} – {say(one.limits)}") for number, one in SMALLEST_CELLS.items()]


class ResearchForm(forms.Form):
    """The limit; what is none of those on offer is refused in words, and counted with the usual one."""

    smallest = forms.TypedChoiceField(
        label=_("Warn when fewer people than this are alike"), choices=limits, coerce=int
    )

    def __init__(self, data):
        super().__init__(data.copy())
        self.data.setdefault("smallest", str(USUAL_CELL))
        self.full_clean()

    @property
    def chosen(self) -> int:
        return self.cleaned_data.get("smallest", USUAL_CELL)
