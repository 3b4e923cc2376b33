"""Asking what must not be loaded or belongs elsewhere, and writing down what was done about it."""

import datetime
from dataclasses import dataclass

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404, screening_answer_or_404
from cases.clinical.screening import Question, deferred, unanswered
from cases.forms.screening import ScreeningActionForm, ScreeningForm
from cases.models import Case, Screening, ScreeningAnswer
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@dataclass(kw_only=True)
class ScreeningPage:
    """Today's round of one case beside the round before it."""

    case: Case
    today: datetime.date
    round: Screening | None
    before: Screening | None
    form: ScreeningForm
    saved_at: datetime.datetime | None = None

    @property
    def current(self) -> Screening | None:
        """The round that counts: today's, or the last one until today's is begun."""
        return self.round or self.before

    @property
    def must_act(self) -> list[ScreeningAnswer]:
        """Answers that call for help elsewhere, acted on or not, the most urgent first."""
        return self.current.to_act_on() if self.current else []

    @property
    def waiting(self) -> list[ScreeningAnswer]:
        return [answer for answer in self.must_act if not answer.action_taken]

    @property
    def not_asked(self) -> tuple[Question, ...]:
        return unanswered(self.current.given() if self.current else ())

    @property
    def put_off(self) -> tuple[Question, ...]:
        return deferred(self.current.given() if self.current else ())

    @property
    def may_issue(self) -> bool:
        return not self.waiting and not self.not_asked


def screening_page(request, case: Case) -> ScreeningPage:
    today = timezone.localdate()
    latest, earlier = Screening.objects.last_two_of(case)
    is_todays = latest is not None and latest.on == today
    this_round, before = (latest, earlier) if is_todays else (None, latest)
    form = ScreeningForm(typed(request), screening=this_round, before=before)
    return ScreeningPage(case=case, today=today, round=this_round, before=before, form=form)


def keep(page: ScreeningPage, *, by) -> list[str]:
    if page.round is None:
        page.round = Screening.objects.create(case=page.case, on=page.today, asked_by=by)
    changed = page.form.keep(page.round)
    page.saved_at = timezone.now()
    return changed


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def screening(request, pk):
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    page = screening_page(request, case)
    context = {"screening": page, "form": page.form, "case": case}
    if request.method == "GET":
        record(request.user, "opened", case, page="screening")
        return render(request, "cases/screening.html", context)
    if page.form.is_valid():
        record(request.user, "screened", case, questions=keep(page, by=request.user))
    # "No to the rest" and an answer to act on stay here; otherwise the case is next.
    stays = {"all_no", "stay"} & request.POST.keys() or page.waiting
    return answer_form(
        request,
        "cases/screening.html",
        context,
        ok=page.form.is_valid(),
        state="screening-state",
        onward=reverse("cases:screening" if stays else "rehab:case", args=[pk]),
    )


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def screening_action(request, pk):
    answer = screening_answer_or_404(request.user, pk, lock=request.method == "POST")
    form = ScreeningActionForm(typed(request), instance=answer)
    if request.method == "POST" and form.is_valid():
        answer.act(form.cleaned_data["action_taken"], by=request.user, at=timezone.now())
        record(request.user, "wrote what was done", answer, question=answer.question)
        messages.success(request, _("Written down, with your name and the time."))
        return redirect("cases:screening", answer.screening.case_id)
    context = {"answer": answer, "case": answer.screening.case, "form": form}
    status = 422 if form.errors else 200
    return render(request, "cases/screening_action.html", context, status=status)
