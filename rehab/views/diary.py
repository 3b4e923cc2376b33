"""The diary typed in from paper, and how the arm took each session."""

import datetime
from dataclasses import dataclass
from functools import cached_property

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from assessments.course import Course, course_of_pain
from cases.access import case_or_404
from cases.models import Case
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.onward import way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.clinical.ladder import PainLimits
from rehab.clinical.sessions import Reading, SessionState
from rehab.forms.diary import DiaryForm
from rehab.inputs import Records, readings
from rehab.models import Program


@dataclass(kw_only=True)
class DiarySection:
    """The diary of a program, as a page of its own or as a part of the visit's page."""

    records: Records
    course: Course
    program: Program
    form: DiaryForm
    url: str
    onward: str

    @property
    def case(self) -> Case:
        return self.records.case

    @property
    def pain(self) -> PainLimits:
        """How much pain the program's policy allows in this clinic."""
        return self.program.rule.pain_limits(self.records.limits)

    @cached_property
    def read(self) -> dict[datetime.date, Reading]:
        """How the arm took each session; asked for by the template, after saving."""
        return readings(self.records, self.program, self.course)

    @property
    def newest_first(self) -> list[tuple[datetime.date, Reading]]:
        return sorted(self.read.items(), key=lambda item: item[0], reverse=True)

    @property
    def remarks(self) -> list[tuple[datetime.date, str]]:
        """What the patient wrote beside the figures, the newest first."""
        days = sorted(self.form.days.items(), reverse=True)
        return [(on, day.remark) for on, day in days if day.remark and on in self.form.dates]

    @property
    def tally(self) -> list[tuple[SessionState, int]]:
        """How many sessions were in each state."""
        states = [reading.state for reading in self.read.values()]
        return [(state, states.count(state)) for state in SessionState if state in states]


def diary_section(
    request: HttpRequest,
    records: Records,
    program: Program,
    course: Course,
    *,
    folds: bool = False,
) -> DiarySection:
    """The diary's part of a page; `folds` where a diary typed to the end needn't stand open."""
    url = reverse("rehab:diary", args=[records.case.pk])
    return DiarySection(
        records=records,
        course=course,
        program=program,
        form=DiaryForm(
            typed(request, url),
            program=program,
            days=records.diary,
            today=timezone.localdate(),
            folds=folds,
            prefix="diary",
        ),
        url=url,
        onward=way_on(request, reverse("rehab:case", args=[records.case.pk])),
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def diary(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    program = Program.objects.current_of(case)
    if program is None or not case.is_open:
        messages.error(request, _("No program is running, so there is no diary to type."))
        return redirect("rehab:case", pk)
    section = diary_section(request, Records(case), program, course_of_pain(case))
    context = {"diary": section, "form": section.form}
    if request.method == "GET":
        return render(request, "rehab/diary.html", context)
    ok = section.form.is_valid()
    if ok:
        kept, gone = section.form.keep()
        record(request.user, "typed diary", program, days=kept, removed=gone)
        section.form.restamp()
        section.records = Records(case)
        context["saved_at"] = timezone.now()
    return answer_form(
        request, "rehab/diary.html", context, ok=ok, state="diary-state", onward=section.onward
    )
