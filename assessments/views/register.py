"""The measures that this software knows, with every figure that it judges them by."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assessments.clinical.completeness import AGAIN_AFTER
from assessments.clinical.measures import CORE_SET, GUIDELINE
from assessments.clinical.questionnaires import tennis_elbow
from assessments.clinical.time_off import FIRST_WINDOW
from assessments.register import Register
from clinic.access import allow
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_CLINICAL)
def register(request: HttpRequest) -> HttpResponse:
    settings = (
        tennis_elbow.MAX_MISSING_PAIN,
        tennis_elbow.MAX_MISSING_FUNCTION,
        AGAIN_AFTER,
        FIRST_WINDOW,
    )
    context = {
        "register": Register(),
        "core_set": CORE_SET,
        "guideline": GUIDELINE,
        "settings": settings,
    }
    return render(request, "assessments/register.html", context)
