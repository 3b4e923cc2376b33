"""Changing one booking straight from the book: drawn to another place, made longer or shorter."""

from itertools import chain

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from cases.access import appointment_or_404
from cases.forms.appointments import AppointmentForm
from cases.models import Appointment
from cases.views.appointments import save_moved, show_appointment
from clinic.access import allow
from clinic.roles import Capability
from clinic.writing import atomic_post

PLACE = ("practitioner", "day", "start")


@require_POST
@allow(Capability.BOOK)
@atomic_post
def appointment_change(request: HttpRequest, pk: int) -> HttpResponse:
    """Move the booking, or change its length; what is not sent stays as it is.

    It is the form of the appointment's page, filled in with what is on record: refused for the same reasons,
    and then shown with them.
    """
    held = appointment_or_404(request.user, pk, lock=True)
    if refusal := held.refusal_to_change(start=any(map(request.POST.get, PLACE))):
        messages.error(request, refusal)
        return redirect("cases:appointment", pk)
    form = AppointmentForm(filled_in(held, request.POST), instance=held)
    if form.is_valid() and form.keep():
        return save_moved(request, form, otherwise=reverse("cases:appointment", args=[pk]))
    if held.may_move:
        return show_appointment(request, pk, form)
    for sentence in chain.from_iterable(form.errors.values()):
        messages.error(request, sentence)
    return redirect("cases:appointment", pk)


def filled_in(held: Appointment, changes: QueryDict) -> QueryDict:
    """What the form would send, but for the changes; stale when they were made to what is not there now."""
    opened = AppointmentForm(instance=held)
    known = changes.get("sequence") == str(held.sequence)
    values = opened.chosen() | {"opened_with": opened.now if known else ""}
    values |= {name: changes[name] for name in (*PLACE, "minutes") if changes.get(name)}
    data = QueryDict(mutable=True)
    data.update(values)
    return data
