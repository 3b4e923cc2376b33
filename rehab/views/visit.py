"""A whole visit on one page: what changed, diary, measures, notes, decision, signature."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.views.measures import measures_section
from cases.access import draft_or_404, visit_or_404
from cases.models import Visit
from cases.views.battery import battery_section
from cases.views.visits import notes_section
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.wording import Sentence, say
from rehab.clinical.ladder import Stage
from rehab.models import Decision, Program
from rehab.views.decision import decision_section, stage_check_section
from rehab.views.diary import diary_section


@require_safe
@allow(Capability.READ_CLINICAL)
def visit(request: HttpRequest, pk: int) -> HttpResponse:
    """The follow-up on one page; the sections are forms of their own and save themselves."""
    seen = visit_or_404(request.user, pk)
    record(request.user, "opened", seen)
    if seen.is_signed or not request.user.may_write_clinical:
        return render(request, "rehab/visit_signed.html", _on_record(request, seen))
    decision = decision_section(request, seen)
    context = {
        "visit": seen,
        "case": seen.case,
        "measures": measures_section(request, seen),
        "battery": battery_section(request, seen),
        "notes": notes_section(request, seen),
        "decision": decision,
    }
    if decision.program and not decision.is_new:
        context["diary"] = diary_section(request, seen.case, decision.program)
        if decision.program.stage >= Stage.SLOW_RESISTANCE:
            context["check"] = stage_check_section(request, seen)
    return render(request, "rehab/visit.html", context)


def _on_record(request: HttpRequest, seen: Visit) -> dict:
    return {
        "visit": seen,
        "case": seen.case,
        "measures": measures_section(request, seen),
        "battery": battery_section(request, seen),
        "made": Decision.objects.at(seen),
        "addenda": seen.addenda.select_related("written_by"),
    }


def unfinished(visit: Visit) -> list[Sentence]:
    """What a physiotherapist would want to be asked about before signing."""
    program = Program.objects.current_of(visit.case)
    asked = {
        say("No day is set on which the patient is wanted back."): visit.due_on is None,
        say("There are no notes."): not visit.has_notes,
        say("No program is running."): program is None,
        say("A program is drafted and not issued."): Program.objects.draft_of(visit.case)
        is not None,
        say("Nothing was decided about the running program."): (
            program is not None
            and timezone.localdate(program.issued_at) < visit.on
            and Decision.objects.at(visit) is None
        ),
    }
    return [sentence for sentence, is_open in asked.items() if is_open]


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def sign(request: HttpRequest, pk: int) -> HttpResponse:
    """Look once more, then sign; from then on only addenda."""
    seen = draft_or_404(request.user, pk)
    if request.method == "POST":
        with transaction.atomic():
            draft_or_404(request.user, pk, lock=True).sign(by=request.user, at=timezone.now())
            record(request.user, "signed", seen)
        messages.success(request, _("The visit is signed."))
        return redirect("rehab:case", seen.case_id)
    context = {
        "visit": seen,
        "case": seen.case,
        "open": unfinished(seen),
        "measures": measures_section(request, seen),
        "battery": battery_section(request, seen),
        "made": Decision.objects.at(seen),
    }
    return render(request, "rehab/sign.html", context)
