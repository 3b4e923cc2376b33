"""The ladder of a case as one picture, with every decision, who made it and why."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assessments.course import course_of_pain
from cases.access import case_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab.clinical.ladder import Stage
from rehab.clinical.sessions import SessionState
from rehab.history import History
from rehab.ladder_drawing import picture


@require_safe
@allow(Capability.READ_CLINICAL)
def history(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk)
    climbed = History.of_case(case, course_of_pain(case))
    context = {
        "case": case,
        "history": climbed,
        "stages": list(Stage),
        "states": list(SessionState),
        "picture": picture(climbed) if climbed.issues else "",
    }
    return render(request, "rehab/history.html", context)
