"""The program: where it starts and why, its exercises and doses, and issuing it."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from assessments.course import course_of
from cases.access import case_or_404
from cases.models import Case
from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from rehab.clinical.choosing import MOST_EXERCISES, also_possible
from rehab.clinical.exercises import card
from rehab.forms.program import Doses, ProgramForm, StageForm
from rehab.inputs import entry, reasons_not_to_issue
from rehab.models import Program


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def program(request: HttpRequest, pk: int) -> HttpResponse:
    """The draft of the next version, or the question from which stage to begin one."""
    case = case_or_404(request.user, pk)
    draft = Program.objects.draft_of(case)
    if draft is None or "begin" in request.POST:
        return _begin(request, case)
    return _edit(request, case, draft)


def _begin(request: HttpRequest, case: Case) -> HttpResponse:
    today = timezone.localdate()
    proposed = entry(case, course_of(case), on=today)
    current = Program.objects.current_of(case)
    initial = {
        "stage": current.stage if current else proposed.start_stage,
        "policy": current.policy if current else proposed.policy,
    }
    form = StageForm(typed(request), initial=initial)
    if request.method == "POST" and not proposed.blocked and form.is_valid():
        with transaction.atomic():
            draft = Program.draft(case, on=today, **form.cleaned_data)
            record(request.user, "drafted", draft, stage=draft.stage)
        return redirect("rehab:program", case.pk)
    context = {"case": case, "entry": proposed, "current": current, "form": form}
    return render(request, "rehab/program_begin.html", context)


@transaction.atomic
def _edit(request: HttpRequest, case: Case, draft: Program) -> HttpResponse:
    form = ProgramForm(typed(request), instance=draft)
    doses = Doses(form.data if form.is_bound else None, instance=draft, prefix="dose")
    if request.method == "POST" and form.is_valid() and doses.is_valid():
        form.save()
        doses.save()
        if code := request.POST.get("add"):
            _add(request, draft, code)
        draft.settle()
        record(request.user, "changed", draft)
        onward = (
            "rehab:program"
            if "add" in request.POST or "save" in request.POST
            else "rehab:program_issue"
        )
        return redirect(onward, case.pk)
    context = {
        "case": case,
        "draft": draft,
        "form": form,
        "doses": doses,
        "also": [card(code) for code in _also(draft)],
        "most": MOST_EXERCISES,
        "reasons": reasons_not_to_issue(case),
    }
    return render(request, "rehab/program.html", context, status=422 if form.is_bound else 200)


def _also(draft: Program) -> tuple[str, ...]:
    return also_possible(draft.rung, tuple(exercise.card for exercise in draft.exercises.all()))


def _add(request: HttpRequest, draft: Program, code: str) -> None:
    if code in _also(draft):
        draft.add(code)
    else:
        messages.error(
            request, _("Choose an exercise of this stage that is not in the program yet.")
        )


@allow(Capability.WRITE_CLINICAL)
@require_http_methods(["GET", "POST"])
def program_issue(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the draft once more as the patient will, then issue it; from then on it can't be changed."""
    case = case_or_404(request.user, pk)
    draft = get_object_or_404(
        Program.objects.of(request.user.clinic).drafts().with_exercises(), case=case
    )
    reasons = reasons_not_to_issue(case)
    if request.method == "POST" and not reasons and draft.main:
        with transaction.atomic():
            draft.issue(by=request.user, at=timezone.now())
            record(request.user, "issued", draft, version=draft.version, stage=draft.stage)
        messages.success(request, _("Program %(n)s is issued.") % {"n": draft.version})
        return redirect("rehab:case", case.pk)
    context = {"case": case, "draft": draft, "reasons": reasons}
    return render(request, "rehab/program_issue.html", context)


@allow(Capability.WRITE_CLINICAL)
@require_POST
def program_discard(request: HttpRequest, pk: int) -> HttpResponse:
    """Throw the draft away; what was issued stays."""
    case = case_or_404(request.user, pk)
    draft = get_object_or_404(Program.objects.of(request.user.clinic).drafts(), case=case)
    with transaction.atomic():
        record(request.user, "discarded", draft, version=draft.version)
        draft.delete()
    return redirect("rehab:program", case.pk)
