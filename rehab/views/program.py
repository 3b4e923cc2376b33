"""The program: where it starts and why, its exercises and doses, and issuing it."""

from django.contrib import messages
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from assessments.course import course_of_pain
from cases.access import case_or_404
from cases.models import Case
from clinic.access import allow
from clinic.audit import record
from clinic.forms import stamp
from clinic.looked import changed_since
from clinic.roles import Capability
from clinic.typed import typed
from clinic.wording import Sentence, say
from clinic.writing import atomic_post
from rehab.access import program_or_404
from rehab.arithmetic import Arithmetic
from rehab.building import Build
from rehab.by_week import ByWeek
from rehab.clinical.choosing import MOST_EXERCISES
from rehab.clinical.week_plan import HEAVY_APART
from rehab.forms.program import Builder, StageForm, WithdrawForm
from rehab.inputs import Records, entry, put_off, reasons_not_to_issue, screening_reasons
from rehab.models import Decision, Program, ThresholdChange


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def program(request: HttpRequest, pk: int) -> HttpResponse:
    """The draft of the next version, or the question from which stage to begin one."""
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    if not case.is_open:
        messages.error(request, _("This case is closed. Open a new one to see the patient again."))
        return redirect("rehab:case", pk)
    draft = Program.objects.draft_of(case)
    return _edit(request, case, draft) if draft else _begin(request, case)


def _begin(request: HttpRequest, case: Case) -> HttpResponse:
    today = timezone.localdate()
    proposed = entry(case, course_of_pain(case, questionnaire=True), on=today)
    current = Program.objects.current_of(case)
    initial = {
        "stage": current.stage if current else proposed.start_stage,
        "policy": current.policy if current else proposed.policy,
    }
    form = StageForm(typed(request), initial=initial)
    if request.method == "POST" and not proposed.blocked and form.is_valid():
        draft = Program.draft(case, on=today, **form.cleaned_data)
        record(request.user, "drafted", draft, stage=draft.stage)
        return redirect("rehab:program", case.pk)
    context = {"case": case, "entry": proposed, "current": current, "form": form}
    return render(
        request, "rehab/program_begin.html", context, status=422 if form.is_bound else 200
    )


def _edit(request: HttpRequest, case: Case, draft: Program) -> HttpResponse:
    also = {card.code: card for card in draft.also_possible}
    added = request.POST.get("add", "")
    builder = Builder(typed(request), draft=draft, adds=added in also)
    if request.method == "POST" and builder.is_valid():
        builder.save()
        if added in also:
            draft.add(added)
        elif added:
            words = _("Choose an exercise of this stage that is not in the program yet.")
            messages.error(request, words)
        draft.settle()
        record(request.user, "changed", draft)
        stays = {"add", "save"} & request.POST.keys()
        return redirect("rehab:program" if stays else "rehab:program_issue", case.pk)
    context = _draft(request, draft) | {
        "form": builder.form,
        "doses": builder.doses,
        "also": also.values(),
    }
    builder.lay_beside(ByWeek(draft, context["build"].before, on=timezone.localdate()))
    refused = builder.form.is_bound
    if not refused:
        builder.think(context["build"])
    return render(request, "rehab/program.html", context, status=422 if refused else 200)


def _draft(request: HttpRequest, draft: Program) -> dict:
    """What is shown of a draft beside its fields."""
    limits = ThresholdChange.objects.limits(draft.clinic_id)
    build, records = Build(draft, limits), Records(draft.case)
    made, not_owned = Decision.objects.of_case(draft.case).first(), draft.not_owned
    return {
        "case": draft.case,
        "draft": draft,
        "seen": stamp(as_it_stands(draft)),
        "build": build,
        "made": made,
        "not_taken": build.step_not_taken(made),
        "arithmetic": Arithmetic(draft, build.before, request.GET),
        "most": MOST_EXERCISES,
        "apart": HEAVY_APART,
        "pain": draft.rule.pain_limits(limits),
        "reasons": _reasons(draft, records, not_owned),
        "not_owned": not_owned,
        "screening_waits": bool(screening_reasons(records)),
        "put_off": put_off(records),
    }


def as_it_stands(draft: Program) -> dict[str, object]:
    """Everything that was written into a draft."""
    return {
        "draft": model_to_dict(draft),
        "exercises": [model_to_dict(one) for one in draft.exercises.all()],
    }


def _reasons(draft: Program, records: Records, not_owned: list) -> tuple[Sentence, ...]:
    """Why a draft can't be issued."""
    found = reasons_not_to_issue(draft.case, records=records)
    if not_owned:
        found += (say("A load in it is not one that the patient owns."),)
    return found


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def program_issue(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the draft once more as the patient will, then issue it; from then on it can't be changed."""
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    draft = Program.objects.draft_of(case)
    if draft is None:
        messages.error(request, _("There is no draft to issue; it may have been issued already."))
        return redirect("rehab:case", pk)
    context = _draft(request, draft)
    if request.method == "POST" and changed_since(request, as_it_stands(draft)):
        messages.error(
            request, _("The draft was changed since you looked. Look once more, then issue it.")
        )
        return redirect("rehab:program_issue", pk)
    if request.method == "POST" and not context["reasons"] and draft.main:
        draft.issue(by=request.user, at=timezone.now())
        record(request.user, "issued", draft, version=draft.version, stage=draft.stage)
        messages.success(request, _("Program %(n)s is issued.") % {"n": draft.version})
        return redirect("rehab:case", pk)
    refused = request.method == "POST"
    return render(request, "rehab/program_issue.html", context, status=422 if refused else 200)


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def program_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take back an issued program, and say why; it stays on record."""
    issued = program_or_404(request.user, pk)
    case = case_or_404(request.user, issued.case_id, lock=request.method == "POST")
    running = Program.objects.current_of(case)
    if running != issued:
        messages.error(
            request, _("This program has ended already, so there is nothing to withdraw.")
        )
        return redirect("rehab:case", case.pk)
    form = WithdrawForm(typed(request))
    if request.method == "POST" and form.is_valid():
        running.withdraw(because=form.cleaned_data["because"], at=timezone.now())
        record(request.user, "withdrew", running, version=running.version)
        messages.success(request, _("Program %(n)s is withdrawn.") % {"n": running.version})
        return redirect("rehab:case", case.pk)
    context = {"case": case, "program": running, "form": form}
    refused = request.method == "POST"
    return render(request, "rehab/program_withdraw.html", context, status=422 if refused else 200)


@require_POST
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def program_discard(request: HttpRequest, pk: int) -> HttpResponse:
    """Throw the draft away; what was issued stays."""
    case = case_or_404(request.user, pk, lock=True)
    draft = Program.objects.draft_of(case)
    if draft and changed_since(request, as_it_stands(draft)):
        messages.error(request, _("The draft was changed since you looked. Nothing was discarded."))
        return redirect("rehab:program", pk)
    if draft:
        record(request.user, "discarded", draft, version=draft.version)
        draft.delete()
    return redirect("rehab:case", pk)
