"""The first history of a case."""

import datetime
from dataclasses import dataclass

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from cases.clinical import exposure
from cases.clinical.contradictions import contradictions
from cases.clinical.exposure import Touched, touched
from cases.clinical.intake import (
    EARLIER,
    HOLD_ALL_HEAVY,
    HOLD_HEAVY_STAGES,
    INJECTION_FIGURES,
    JOINTS,
    NIGHT_AND_MORNING,
    WHERE,
    Duration,
    InjectionCaution,
    duration_class,
    injection_caution,
)
from cases.clinical.screening import BY_CODE, Question
from cases.forms.intake import WANTED_ACTIVITIES, IntakeForm
from cases.models import Case, Injection, Intake, Screening
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.roles import Capability
from clinic.typed import typed
from clinic.wording import Sentence
from clinic.writing import atomic_post

# Which screening question an answer about these antibiotics leads to.
QUESTION_OF = {
    Intake.Fluoroquinolone.NOW: BY_CODE["fluoroquinolone-now"],
    Intake.Fluoroquinolone.PAST: BY_CODE["fluoroquinolone-recent"],
}


@dataclass(kw_only=True)
class IntakePage:
    """The history of one case, and what follows from it today."""

    case: Case
    today: datetime.date
    form: IntakeForm
    hold_all = HOLD_ALL_HEAVY
    hold_heavy = HOLD_HEAVY_STAGES
    a_year_later = INJECTION_FIGURES
    racket, work, hands = exposure.RACKET, exposure.WORK, exposure.HANDS
    where, night, earlier, joints = WHERE, NIGHT_AND_MORNING, EARLIER, JOINTS
    questions = tuple(QUESTION_OF.values())

    @property
    def duration(self) -> Duration:
        return duration_class(self.case.onset, today=self.today)

    @property
    def saved_at(self) -> datetime.datetime | None:
        return self.form.instance.written_at

    @property
    def steroid(self) -> Injection | None:
        """The last corticosteroid injection on record."""
        steroids = [row for row in self.form.injections if row.is_steroid]
        return steroids[-1] if steroids else None

    @property
    def caution(self) -> InjectionCaution | None:
        return injection_caution(self.steroid.given_on, today=self.today) if self.steroid else None

    @property
    def fluoroquinolone(self) -> Question | None:
        return QUESTION_OF.get(self.form.instance.fluoroquinolone)

    @property
    def asked_again(self) -> tuple[Sentence, ...]:
        """What the saved answers contradict, here and in the last screening."""
        last = Screening.objects.latest_of(self.case)
        told = self.form.instance.told(
            steroid_injected=self.steroid is not None, screened=last.in_words() if last else {}
        )
        return contradictions(told)

    @property
    def touched(self) -> tuple[Touched, ...]:
        return touched(self.form.instance.load_history())

    @property
    def activities_missing(self) -> int:
        return max(0, WANTED_ACTIVITIES - len(self.form.named))


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def intake(request, pk):
    case = case_or_404(request.user, pk, lock=request.method == "POST")
    today = timezone.localdate()
    form = IntakeForm(typed(request), instance=Intake.of_case(case), case=case, today=today)
    context = {"intake": IntakePage(case=case, today=today, form=form), "form": form, "case": case}
    if request.method == "GET":
        return render(request, "cases/intake.html", context)
    if form.is_valid():
        record(request.user, "wrote the intake", case, fields=form.keep())
    return answer_form(
        request,
        "cases/intake.html",
        context,
        ok=form.is_valid(),
        state="intake-state",
        onward=reverse("cases:intake" if "stay" in request.POST else "cases:screening", args=[pk]),
    )
