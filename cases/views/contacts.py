"""The calls to a patient who is due."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from cases.access import case_or_404
from cases.forms.contacts import ContactForm
from cases.models import Contact
from clinic.access import allow
from clinic.audit import record
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def contacts(request: HttpRequest, pk: int) -> HttpResponse:
    case = case_or_404(request.user, pk)
    form = ContactForm(typed(request), instance=Contact(case=case, by=request.user))
    if request.method == "POST" and form.is_valid():
        contact = form.save()
        record(request.user, "called", case, outcome=contact.outcome)
        told = {"who": case.patient, "outcome": contact.get_outcome_display()}
        messages.success(request, _("%(who)s: %(outcome)s.") % told)
        return redirect(way_on(request, request.path))
    context = {
        "case": case,
        "form": form,
        "contacts": Contact.objects.of_case(case),
        "today": timezone.localdate(),
        "next": came_from(request),
    }
    return render(request, "cases/contacts.html", context, status=422 if form.errors else 200)
