"""The patient's appointments on paper."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.access import patient_or_404
from clinic.access import allow
from clinic.roles import Capability
from rehab.models import Handout
from rehab.printing import gather, gather_appointments
from rehab.printing.appointment_card import appointment_card_pdf
from rehab.printing.fonts import CannotPrint
from rehab.views.prints import hand_out, refused


@require_safe
@allow(Capability.PRINT)
def appointment_card(request: HttpRequest, pk: int) -> HttpResponse:
    """The next appointments, for the front desk too: nothing of a case is named."""
    patient = patient_or_404(request.user, pk)
    card = gather_appointments.appointment_card(patient, now=timezone.now())
    try:
        data = appointment_card_pdf(card, gather.paper_of(patient))
    except CannotPrint as refusal:
        return refused(request, refusal)
    name = f"appointments-{patient.record}.pdf"
    return hand_out(request, data, Handout.Kind.APPOINTMENT_CARD, about=patient, name=name)
