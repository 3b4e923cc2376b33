"""The return plan of a program as PDF."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.roles import Capability
from rehab.access import program_or_404
from rehab.models import Handout, ThresholdChange
from rehab.printing import gather
from rehab.printing.fonts import CannotPrint
from rehab.printing.return_plan import return_plan_pdf
from rehab.views.prints import file_name, hand_out, refused


@require_safe
@allow(Capability.PRINT)
def return_plan(request: HttpRequest, pk: int) -> HttpResponse:
    program = program_or_404(request.user, pk)
    if not program.return_steps:
        raise Http404("no return plan")
    limits = ThresholdChange.objects.limits(request.user.clinic)
    sheet = gather.return_plan(program, now=timezone.now(), limits=limits)
    try:
        data = return_plan_pdf(sheet, gather.paper_for(program))
    except CannotPrint as refusal:
        return refused(request, refusal)
    name = file_name(program, "return-plan")
    return hand_out(request, data, Handout.Kind.RETURN_PLAN, about=program, name=name)
