"""The letter that passes an answer of the screening on to a doctor: what it says, and the sheet itself."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import screening_answer_or_404
from cases.models import ScreeningAnswer
from clinic.access import allow
from clinic.roles import Capability
from clinic.typed import typed
from rehab.forms.referral import ReferralForm
from rehab.models import Handout, Program
from rehab.printing import gather, gather_referral
from rehab.printing.fonts import CannotPrint
from rehab.printing.referral_letter import referral_letter_pdf
from rehab.views.prints import hand_out


@require_safe
@allow(Capability.WRITE_CLINICAL)
def referral(request: HttpRequest, pk: int) -> HttpResponse:
    """What is asked of the doctor, beside all that the letter says without being typed."""
    answer = screening_answer_or_404(request.user, pk)
    if not answer.is_to_act_on:
        return nothing_to_refer(request, answer)
    # A letter that arrived after the session had ended is held under the address of the sheet.
    form = ReferralForm(typed(request, reverse("rehab:referral_letter", args=[pk])), answer=answer)
    return render(request, "rehab/referral.html", context_of(answer, form))


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
def referral_letter(request: HttpRequest, pk: int) -> HttpResponse:
    """The letter as PDF; it is kept as it was handed out, and it settles nothing by itself."""
    answer = screening_answer_or_404(request.user, pk)
    if request.method == "GET" or not answer.is_to_act_on:
        return redirect("rehab:referral", pk)
    form = ReferralForm(request.POST, answer=answer)
    if form.is_valid():
        try:
            return hand_out_letter(request, answer, form)
        except CannotPrint as refusal:
            form.add_error(None, str(refusal))
    return render(request, "rehab/referral.html", context_of(answer, form), status=422)


@require_POST
@allow(Capability.WRITE_CLINICAL)
def referral_given(request: HttpRequest, pk: int) -> HttpResponse:
    """Go on to what was done about the answer, with a sentence that says whom the letter is for."""
    answer = screening_answer_or_404(request.user, pk)
    there = reverse("cases:screening_action", args=[answer.pk])
    return redirect(f"{there}?{urlencode({'letter': request.POST.get('to', '')})}")


def hand_out_letter(
    request: HttpRequest, answer: ScreeningAnswer, form: ReferralForm
) -> HttpResponse:
    case = answer.screening.case
    letter = gather_referral.referral_letter(
        answer, form.asked(), by=request.user, now=timezone.now()
    )
    data = referral_letter_pdf(letter, gather.paper_of(case.patient))
    name = f"referral-{case.patient.record}-{letter.on:%Y-%m-%d}.pdf"
    return hand_out(request, data, Handout.Kind.REFERRAL_LETTER, about=case, name=name)


def nothing_to_refer(request: HttpRequest, answer: ScreeningAnswer) -> HttpResponse:
    text = _("A letter needs an answer of the last screening that calls for help elsewhere.")
    messages.warning(request, text)
    return redirect("cases:screening", answer.screening.case_id)


def context_of(answer: ScreeningAnswer, form: ReferralForm) -> dict:
    screening = answer.screening
    program = Program.objects.running_in(screening.case).first()
    return {
        "answer": answer,
        "case": screening.case,
        "form": form,
        "program": program,
        "facts": gather_referral.facts(answer),
        "exercises": gather_referral.exercises(screening, program),
    }
