"""The table that the ladder decides by, and a clinic's own values in it."""

from dataclasses import dataclass

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.lines import mark_of
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import number
from clinic.typed import typed
from clinic.wording import Sentence
from clinic.writing import atomic_post
from rehab.access import limits_or_404
from rehab.clinical.disagreements import DISAGREEMENTS, Disagreement, about_row
from rehab.clinical.thresholds import (
    DEFAULTS,
    GROUPS,
    NO_SOURCE,
    Limits,
    Threshold,
    neighbors,
    order_words,
)
from rehab.forms.thresholds import ThresholdForm
from rehab.models import ThresholdChange
from rehab.tables import threshold_rows


@dataclass(frozen=True, kw_only=True)
class Line:
    """One row of the table: the value in force beside the printed one, which the source belongs to."""

    row: Threshold

    @property
    def disagreements(self) -> tuple[Disagreement, ...]:
        return about_row(self.row.code)

    @property
    def marks(self) -> tuple[str, ...]:
        """The letters of the notes that say where its sources disagree."""
        return tuple(mark_of(DISAGREEMENTS.index(row)) for row in self.disagreements)

    @property
    def source(self) -> str:
        return "" if self.printed_row.source == NO_SOURCE else self.printed_row.source

    @property
    def limits(self) -> str:
        """What the printed value does not cover, unless a note on the disagreement says it."""
        return "" if self.disagreements else self.row.limits

    @property
    def printed_row(self) -> Threshold:
        return DEFAULTS[self.row.code]

    @property
    def is_own(self) -> bool:
        return self.row.printed is not None

    @property
    def here(self) -> str:
        return number(self.row.value, self.row.places)

    @property
    def printed(self) -> str:
        return number(self.printed_row.value, self.row.places)

    @property
    def span(self) -> str:
        """The range that a clinic may choose from, or nothing where the value is fixed."""
        if not self.row.setting:
            return ""
        return "–".join(number(end, self.row.places) for end in (self.row.lowest, self.row.highest))


@dataclass(frozen=True, kw_only=True)
class Group:
    code: str
    title: Sentence
    lines: tuple[Line, ...]
    notes: tuple[tuple[str, Disagreement], ...]


def grouped(limits: Limits) -> list[Group]:
    """The table in force by what it is about, with the disagreements of the sources as notes."""
    # A question that is about no single row has no letter: nothing would lead to it.
    marked = tuple((mark_of(n) if row.codes else "", row) for n, row in enumerate(DISAGREEMENTS))
    return [
        Group(
            code=code,
            title=title,
            lines=tuple(Line(row=limits[row.code]) for row in rows),
            notes=tuple((mark, note) for mark, note in marked if note.group == code),
        )
        for code, title, rows in GROUPS
    ]


@require_safe
@allow(Capability.READ_CLINICAL)
def thresholds(request: HttpRequest) -> HttpResponse:
    limits = ThresholdChange.objects.limits(request.user.clinic)
    own = [Line(row=row) for row in limits.values() if row.printed is not None]
    context = {"groups": grouped(limits), "own": own}
    return render(request, "rehab/thresholds.html", context)


@require_safe
@allow(Capability.READ_CLINICAL)
def thresholds_csv(request: HttpRequest) -> HttpResponse:
    limits = ThresholdChange.objects.limits(request.user.clinic)
    return export(request, threshold_rows(limits), what="thresholds")


@require_http_methods(["GET", "POST"])
@allow(Capability.READ_CLINICAL)
@atomic_post
def threshold(request: HttpRequest, code: str) -> HttpResponse:
    """One setting with its history; only a manager may change it."""
    manages = request.user.may(Capability.MANAGE)
    if request.method == "POST" and not manages:
        raise PermissionDenied(Capability.MANAGE)
    limits = limits_or_404(request.user, code, lock=request.method == "POST")
    row = limits[code]
    form = ThresholdForm(typed(request), row=row, limits=limits) if manages else None
    if request.method == "POST" and form.is_valid():
        return _change(request, row, **form.cleaned_data)
    context = {
        "line": Line(row=row),
        "form": form,
        "orders": [order_words(*other) for other in neighbors(code, limits)],
        "history": ThresholdChange.objects.of(request.user.clinic).history(code),
    }
    refused = request.method == "POST"
    return render(request, "rehab/threshold.html", context, status=422 if refused else 200)


def _change(
    request: HttpRequest, row: Threshold, *, value: float, reason: str, **_stamps: str
) -> HttpResponse:
    made = ThresholdChange.make(row.code, value, reason=reason, by=request.user)
    # Its words: who reads the trail meets the code nowhere else. The row that it names has the code.
    change = {"threshold": row.words, "from": row.value, "to": value}
    record(request.user, "changed", made, **change)
    messages.success(request, _("The value is changed. It counts from now on."))
    return redirect("rehab:threshold", row.code)
