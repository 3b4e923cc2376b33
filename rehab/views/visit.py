"""A whole visit on one page: what changed, diary, measures, notes, decision, signature."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.grip_report import Person
from assessments.views.measures import measures_section
from cases.access import visit_or_404
from cases.models import Appointment, Visit
from cases.views.battery import battery_section, held_battery
from cases.views.visits import notes_section
from clinic.access import allow
from clinic.audit import record
from clinic.forms import stamp
from clinic.looked import changed_since
from clinic.roles import Capability
from clinic.wording import Sentence, say
from clinic.writing import atomic_post
from rehab.clinical.ladder import Stage
from rehab.grouped import judged
from rehab.inputs import Records
from rehab.models import Decision, Program
from rehab.views.decision import decision_section, stage_check_section
from rehab.views.diary import diary_section


@require_safe
@allow(Capability.READ_CLINICAL)
def visit(request: HttpRequest, pk: int) -> HttpResponse:
    """The follow-up on one page; the sections are forms of their own and save themselves."""
    seen = visit_or_404(request.user, pk)
    if seen.is_signed or not request.user.may_write_clinical:
        context = _on_record(request, seen) | {"addenda": seen.addenda_in_order()}
        return render(request, "rehab/visit_signed.html", context)
    records, measures = Records(seen.case), measures_section(request, seen)
    measures.part, measures.person = True, Person.at(seen, records.findings)
    course = measures.results.course
    decision = decision_section(request, seen, records, course)
    context = {
        "visit": seen,
        "case": seen.case,
        "measures": measures,
        "battery": held_battery(request, seen),
        "findings": records.findings_at(seen),
        "notes": notes_section(request, seen, measures.visits),
        "decision": decision,
    }
    if decision.program and decision.runs:
        context["diary"] = diary_section(request, records, decision.program, course, folds=True)
        if decision.program.stage >= Stage.SLOW_RESISTANCE:
            check = records.check_at(seen)
            context["check"] = stage_check_section(request, seen, check)
    return render(request, "rehab/visit.html", context)


def _on_record(request: HttpRequest, seen: Visit) -> dict:
    made, measures = Decision.objects.at(seen), measures_section(request, seen)
    marked = len(measures.results.course.notes)
    return {
        "visit": seen,
        "case": seen.case,
        "measures": measures,
        "battery": battery_section(request, seen),
        "made": made,
        "judged": judged(made.as_proposed(), after=marked) if made else None,
    }


def _to_sign(request: HttpRequest, seen: Visit) -> dict:
    """The record as it would be signed, drawn: what the person sees is what the stamp is of."""
    page = _on_record(request, seen)
    record = render_to_string("rehab/visit_record.html", page, request)
    return page | {
        "record": record,
        "seen": stamp({"record": record}),
        "open": unfinished(seen, page["made"]),
    }


def unfinished(visit: Visit, made: Decision | None) -> list[Sentence]:
    """What a physiotherapist would want to be asked about before signing."""
    programs = list(Program.objects.of_case(visit.case).not_ended())
    program = next((one for one in programs if one.is_issued), None)
    drafted = not all(one.is_issued for one in programs)
    judged_here = program is not None and timezone.localdate(program.issued_at) < visit.on
    asked = {
        say("No day is set on which the patient is wanted back."): visit.due_on is None,
        say("There are no notes."): not visit.has_notes,
        say("No program is running."): program is None,
        say("A program is drafted and not issued."): drafted,
        say("Nothing was decided about the running program."): judged_here and made is None,
    }
    return [sentence for sentence, is_open in asked.items() if is_open]


def _mark_as_seen(request: HttpRequest, visit: Visit) -> None:
    """Whoever was treated waits no longer; of several that nobody marked, the last one was it."""
    here = Appointment.objects.kept_by(visit, now=timezone.now()).in_order()
    unmarked = list(here.select_for_update())
    arrived = [one for one in unmarked if one.status == Appointment.Status.ARRIVED]
    for kept in arrived or unmarked[-1:]:
        kept.mark(Appointment.Status.SEEN)
        record(request.user, "marked", kept, status=kept.status)


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def sign(request: HttpRequest, pk: int) -> HttpResponse:
    """Look once more, then sign; from then on only addenda."""
    seen = visit_or_404(request.user, pk, lock=request.method == "POST")
    if seen.is_signed:
        messages.error(request, _("This visit is signed already."))
        return redirect("rehab:visit", pk)
    page = _to_sign(request, seen)
    if request.method == "POST" and changed_since(request, {"record": page["record"]}):
        messages.error(
            request, _("Something was changed since you looked. Look once more, then sign.")
        )
        return redirect("rehab:sign", pk)
    if request.method == "POST":
        seen.sign(by=request.user, at=timezone.now())
        record(request.user, "signed", seen)
        _mark_as_seen(request, seen)
        messages.success(request, _("The visit is signed."))
        return redirect("rehab:case", seen.case_id)
    return render(request, "rehab/sign.html", page)
