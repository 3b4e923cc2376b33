"""The whole course of a case: all measures on one axis of time, then one chart a measure."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assessments.course import course_of
from cases.access import case_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab.whole_course import WholeCourse


@require_safe
@allow(Capability.READ_CLINICAL)
def course(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk)
    whole = WholeCourse.of_case(case, course_of(case))
    return render(request, "rehab/course.html", {"case": case, "whole": whole})
