"""The diary typed in from paper, and how the arm took each session."""

import datetime
from dataclasses import dataclass

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from cases.models import Case
from clinic.access import allow
from clinic.answers import answer_form, next_page
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from rehab.clinical.sessions import Reading
from rehab.forms.diary import DiaryForm
from rehab.inputs import readings
from rehab.models import DiaryDay, Program


@dataclass(kw_only=True)
class DiarySection:
    """The diary of a program, as a page of its own or as a part of the visit's page."""

    case: Case
    program: Program
    form: DiaryForm
    url: str
    onward: str
    read: dict[datetime.date, Reading]

    @property
    def newest_first(self) -> list[tuple[datetime.date, Reading]]:
        return sorted(self.read.items(), key=lambda item: item[0], reverse=True)

    @property
    def tally(self) -> dict[str, int]:
        """How many sessions were in each state."""
        states = [reading.state.value for reading in self.read.values()]
        return {state: states.count(state) for state in dict.fromkeys(states)}


def diary_section(request: HttpRequest, case: Case, program: Program) -> DiarySection:
    url = reverse("rehab:diary", args=[case.pk])
    days = list(DiaryDay.objects.of_case(case))
    form = DiaryForm(
        typed(request, url),
        program=program,
        days=days,
        today=timezone.localdate(),
        prefix="diary",
    )
    return DiarySection(
        case=case,
        program=program,
        form=form,
        url=url,
        onward=next_page(request, reverse("rehab:case", args=[case.pk])),
        read=readings(case, program, days),
    )


def _section(request: HttpRequest, case: Case) -> DiarySection:
    program = get_object_or_404(
        Program.objects.of(request.user.clinic).issued().not_ended(), case=case
    )
    return diary_section(request, case, program)


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def diary(request: HttpRequest, pk: int) -> HttpResponse:
    if request.method == "POST":
        return _save(request, pk)
    case = case_or_404(request.user, pk)
    section = _section(request, case)
    return render(request, "rehab/diary.html", {"diary": section, "form": section.form})


@transaction.atomic
def _save(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk, lock=True)
    section = _section(request, case)
    ok = section.form.is_valid()
    if ok:
        kept, gone = section.form.keep()
        record(request.user, "typed diary", section.program, days=kept, removed=gone)
        section.form.restamp()
        section.read = readings(case, section.program, list(section.form.days.values()))
    context = {"diary": section, "form": section.form, "saved_at": timezone.now() if ok else None}
    return answer_form(
        request, "rehab/diary.html", context, ok=ok, state="diary-state", onward=section.onward
    )
