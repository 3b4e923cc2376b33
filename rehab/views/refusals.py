"""The letters about what a patient asked of the record and was refused."""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import correction_or_404, erasure_refusal_or_404
from cases.models import CorrectionRequest, Patient
from clinic.access import allow
from clinic.roles import Capability
from rehab.models import Handout
from rehab.printing import gather, gather_refusal
from rehab.printing.refusal_letter import RefusalLetter, refusal_letter_pdf
from rehab.views.prints import hand_out


@require_safe
@allow(Capability.KEEP_RECORDS)
def correction_refusal(request: HttpRequest, pk: int) -> HttpResponse:
    asked = correction_or_404(request.user, pk)
    if asked.answer != CorrectionRequest.Answer.REFUSED:
        raise Http404("not refused")
    language = _language(request, asked.patient)
    letter = gather_refusal.of_correction(asked, language=language, now=timezone.now())
    return _printed(request, letter, asked.patient)


@require_safe
@allow(Capability.KEEP_RECORDS)
def erasure_refusal(request: HttpRequest, pk: int) -> HttpResponse:
    refusal = erasure_refusal_or_404(request.user, pk)
    language = _language(request, refusal.patient)
    letter = gather_refusal.of_erasure(refusal, language=language, now=timezone.now())
    return _printed(request, letter, refusal.patient)


def _language(request: HttpRequest, patient: Patient) -> str:
    """The language that is asked for; otherwise the patient's."""
    wanted = request.GET.get("language", "")
    return wanted if wanted in dict(settings.LANGUAGES) else patient.language


def _printed(request: HttpRequest, letter: RefusalLetter, patient: Patient) -> HttpResponse:
    data = refusal_letter_pdf(letter, gather.paper_of(patient))
    name = f"refusal-{patient.record}-{letter.decided_on:%Y-%m-%d}.pdf"
    kind, language = Handout.Kind.REFUSAL_LETTER, letter.language
    return hand_out(request, data, kind, about=patient, name=name, language=language)
