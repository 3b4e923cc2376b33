"""Asking what must not be loaded or belongs elsewhere, and writing down what was done about it."""

import datetime
from dataclasses import dataclass
from functools import cached_property

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404, screening_answer_or_404
from cases.clinical.contradictions import contradictions
from cases.clinical.referral import Addressee, letter_given
from cases.clinical.screening import Change, Question, changes, deferred, unanswered
from cases.clinical.screening_readings import GroupReading
from cases.forms.screening import ScreeningActionForm, ScreeningForm
from cases.models import Case, Intake, Screening, ScreeningAnswer
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import say
from clinic.typed import typed
from clinic.wording import Sentence
from clinic.writing import atomic_post


@dataclass(frozen=True, kw_only=True)
class PastRound:
    """One line of the history: what was answered otherwise than the time before, and what was done."""

    round: Screening
    changes: tuple[Change, ...]

    @property
    def done(self) -> list[ScreeningAnswer]:
        return [answer for answer in self.round.answers.all() if answer.action_taken]

    @property
    def readings(self) -> tuple[GroupReading, ...]:
        return self.round.sign_readings()


@dataclass(kw_only=True)
class ScreeningPage:
    """Today's round of one case beside the rounds before it, the last one first."""

    case: Case
    today: datetime.date
    round: Screening | None
    earlier: list[Screening]
    form: ScreeningForm
    saved_at: datetime.datetime | None = None

    @property
    def before(self) -> Screening | None:
        return self.earlier[0] if self.earlier else None

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

    @property
    def readings(self) -> tuple[GroupReading, ...]:
        """What was examined in the round that counts."""
        return self.current.sign_readings() if self.current else ()

    @cached_property
    def asked_again(self) -> tuple[Sentence, ...]:
        """What does not fit together: answers and signs here, and the intake."""
        if not self.current:
            return ()
        intake = Intake.of_case(self.case)
        steroid = any(injection.is_steroid for injection in self.case.injections.all())
        told = intake.told(steroid_injected=steroid, screened=self.current.in_words())
        return (*self.current.disputed(), *contradictions(told))

    @property
    def history(self) -> list[PastRound]:
        """Every round with what changed in it, the last one first; nothing while there is only one."""
        rounds = [*([self.round] if self.round else []), *self.earlier]
        if len(rounds) < 2:
            return []
        given = [row.given() for row in rounds]
        return [
            PastRound(round=row, changes=changes(was, now))
            for row, now, was in zip(rounds, given, [*given[1:], None], strict=True)
        ]


def screening_page(request, case: Case) -> ScreeningPage:
    today = timezone.localdate()
    rounds = Screening.objects.rounds_of(case)
    is_todays = bool(rounds) and rounds[0].on == today
    this_round, earlier = (rounds[0], rounds[1:]) if is_todays else (None, rounds)
    before = earlier[0] if earlier else None
    form = ScreeningForm(typed(request), screening=this_round, before=before)
    return ScreeningPage(case=case, today=today, round=this_round, earlier=earlier, form=form)


def keep(page: ScreeningPage, *, by) -> dict[str, list[str]]:
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
        return render(request, "cases/screening.html", context)
    if page.form.is_valid():
        record(request.user, "screened", case, **keep(page, by=request.user))
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


def letter_said(to: str) -> str:
    """What to propose as done once a letter is with the patient; nothing where it is for nobody known."""
    known = to in set(Addressee)
    return say(letter_given(Addressee(to), on=timezone.localdate())) if known else ""


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def screening_action(request, pk):
    answer = screening_answer_or_404(request.user, pk, lock=request.method == "POST")
    letter = letter_said(request.GET.get("letter", ""))
    proposed = {"action_taken": letter} if letter and not answer.action_taken else None
    form = ScreeningActionForm(typed(request), instance=answer, initial=proposed)
    if request.method == "POST" and form.is_valid():
        answer.act(form.cleaned_data["action_taken"], by=request.user, at=timezone.now())
        record(request.user, "wrote what was done", answer, question=answer.question)
        messages.success(request, _("Written down, with your name and the time."))
        return redirect("cases:screening", answer.screening.case_id)
    context = {"answer": answer, "case": answer.screening.case, "form": form}
    status = 422 if form.errors else 200
    return render(request, "cases/screening_action.html", context, status=status)
