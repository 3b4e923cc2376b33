"""What the rules propose at a visit, and what the physiotherapist decides."""

from dataclasses import dataclass

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from assessments.course import course_of
from cases.access import draft_or_404, visit_or_404
from cases.models import Visit
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from rehab.clinical.progression import Proposal, propose
from rehab.forms.decision import DecisionForm, StageCheckForm
from rehab.inputs import arm_today
from rehab.models import Decision, Program, StageCheck


@dataclass(kw_only=True)
class DecisionSection:
    """The proposal at a visit as the records stand now, or the decision that was made."""

    visit: Visit
    program: Program | None
    made: Decision | None
    proposal: Proposal | None
    form: DecisionForm | None
    url: str

    @property
    def is_new(self) -> bool:
        """Issued on the day of the visit: there is nothing to judge yet."""
        return timezone.localdate(self.program.issued_at) >= self.visit.on

    @property
    def next_version(self) -> int:
        return self.program.version + 1


def decision_section(request: HttpRequest, visit: Visit) -> DecisionSection:
    url = reverse("rehab:decision", args=[visit.pk])
    made = Decision.objects.at(visit)
    program = made.program if made else Program.objects.current_of(visit.case)
    proposal = form = None
    if made:
        proposal = made.as_proposed()
    elif program and program.main and timezone.localdate(program.issued_at) < visit.on:
        proposal = propose(arm_today(visit, program, course_of(visit.case, visit=visit)))
        form = DecisionForm(typed(request, url), proposal=proposal)
    return DecisionSection(
        visit=visit, program=program, made=made, proposal=proposal, form=form, url=url
    )


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def decision(request: HttpRequest, pk: int) -> HttpResponse:
    """The proposal alone, asked for again whenever the visit's page has saved something."""
    if request.method == "POST":
        return _decide(request, pk)
    section = decision_section(request, visit_or_404(request.user, pk))
    template = "rehab/decision.html" + ("#proposal" if request.htmx else "")
    return render(request, template, {"decision": section})


@transaction.atomic
def _decide(request: HttpRequest, pk: int) -> HttpResponse:
    visit = draft_or_404(request.user, pk, lock=True)
    section = decision_section(request, visit)
    if section.form is None:
        messages.error(
            request, _("There is nothing to decide: the decision is made, or no program runs.")
        )
        return redirect("rehab:visit", visit.pk)
    if not section.form.is_valid():
        return render(
            request, "rehab/decision.html", {"decision": section, "form": section.form}, status=422
        )
    made = Decision.make(
        visit,
        section.program,
        section.proposal,
        by=request.user,
        at=timezone.now(),
        **section.form.cleaned_data,
    )
    record(
        request.user, "decided", made, proposed=made.proposed, made=made.made, step=made.made_step
    )
    if made.changes_program:
        return redirect("rehab:program", visit.case_id)
    return redirect("rehab:visit", visit.pk)


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def stage_check(request: HttpRequest, pk: int) -> HttpResponse:
    """What no measure gives: the test lift, the job, the other arm."""
    if request.method == "POST":
        return _keep_check(request, pk)
    visit = visit_or_404(request.user, pk)
    return render(request, "rehab/stage_check.html", {"check": stage_check_section(request, visit)})


@dataclass(kw_only=True)
class StageCheckSection:
    visit: Visit
    form: StageCheckForm
    url: str


def stage_check_section(request: HttpRequest, visit: Visit) -> StageCheckSection:
    url = reverse("rehab:stage_check", args=[visit.pk])
    check = StageCheck.at(visit)
    form = StageCheckForm(typed(request, url), instance=check, prefix="check")
    return StageCheckSection(visit=visit, form=form, url=url)


@transaction.atomic
def _keep_check(request: HttpRequest, pk: int) -> HttpResponse:
    visit = draft_or_404(request.user, pk, lock=True)
    section = stage_check_section(request, visit)
    ok = section.form.is_valid()
    if ok:
        section.form.save()
        section.form.restamp()
        record(request.user, "answered stage check", visit)
    context = {"check": section, "form": section.form, "saved_at": timezone.now() if ok else None}
    onward = reverse("rehab:visit", args=[visit.pk])
    return answer_form(
        request, "rehab/stage_check.html", context, ok=ok, state="check-state", onward=onward
    )
