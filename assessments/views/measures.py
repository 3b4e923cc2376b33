"""Pain, grip and the questionnaire of one visit: typed on one page, read on the same page."""

import datetime
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import urlencode

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from assessments.clinical.completeness import Ask
from assessments.core_set import due_today
from assessments.course import course_of, measured_visits
from assessments.forms import MeasuresForm
from assessments.grip_report import GripReport, Person
from assessments.results import Results
from assessments.sheet import Sheet
from cases.access import visit_or_404
from cases.models import Visit
from clinic.access import allow
from clinic.answers import answer_form, saves_itself
from clinic.audit import record
from clinic.onward import way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post

TEMPLATE = "assessments/measures.html"


@dataclass(kw_only=True)
class MeasuresSection:
    """The measures of a visit, as a page of their own or as a part of the visit's page."""

    visit: Visit
    form: MeasuresForm
    url: str
    onward: str
    while_typing: bool
    part: bool = False
    visits: list[Visit] | None = None
    person: Person | None = None
    saved_at: datetime.datetime | None = None

    @property
    def closed(self) -> bool:
        """Signed, and nothing typed that still has to be shown to its writer."""
        return self.visit.is_signed and not self.form.is_bound

    def leads_to(self, request) -> str:
        """Where the pressed button leads; without scripts one of them comes back to the trials."""
        if "stay" not in request.POST:
            return self.onward
        return f"{self.url}?{urlencode({'next': self.onward})}#measures-grip-head"

    @cached_property
    def results(self) -> Results:
        """What is on record now; asked for by the template, after saving."""
        return Results(course=course_of(self.visit.case, visit=self.visit, visits=self.visits))

    @property
    def due(self) -> tuple[Ask, ...]:
        """What is still to be asked for at this visit."""
        return due_today(self.results.course)

    @cached_property
    def report(self) -> GripReport:
        return GripReport(results=self.results, person=self.person or Person.at(self.visit))

    @cached_property
    def sheet(self) -> Sheet:
        return Sheet(form=self.form, results=self.results)


def measures_section(request, visit: Visit) -> MeasuresSection:
    url = reverse("assessments:measures", args=[visit.pk])
    # What will be saved is read again after it.
    visits = None if request.method == "POST" else measured_visits(visit.case)
    return MeasuresSection(
        visit=visit,
        form=MeasuresForm(typed(request, url), visit=visit, visits=visits),
        visits=visits,
        url=url,
        onward=way_on(request, reverse("rehab:case", args=[visit.case_id])),
        while_typing=saves_itself(request),
        part="part" in request.POST,
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def measures(request, pk):
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    section = measures_section(request, visit)
    context = {"measures": section, "form": section.form}
    if request.method == "GET":
        return render(request, TEMPLATE, context)
    ok = section.form.is_valid()
    if section.form.may_be_kept:
        record(request.user, "measured", visit, parts=section.form.keep())
        section.saved_at = timezone.now()
    return answer_form(
        request, TEMPLATE, context, ok=ok, state="measures-state", onward=section.leads_to(request)
    )
