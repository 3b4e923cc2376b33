"""The audit trail: who did what, narrowed by person, record, deed, page and day, and to take along."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cases.forms.trail import TrailForm
from cases.models import Patient
from cases.trail import COUNTED, count, lines, page_of, with_patients
from clinic.access import allow
from clinic.csv_file import export
from clinic.roles import Capability


@require_safe
@allow(Capability.READ_AUDIT)
def audit(request: HttpRequest) -> HttpResponse:
    clinic = request.user.clinic
    form = TrailForm(request.GET, clinic=clinic)
    edges = {name: request.GET.get(name, "") for name in ("before", "after")}
    page = page_of(form.chosen, **edges)
    context = {
        "form": form,
        "page": page,
        "events": with_patients(page.events, clinic),
        "total": count(form.chosen),
        "counted": COUNTED,
        "choices": request.GET.urlencode(),
        "here": request.get_full_path(),
    }
    return render(request, "cases/audit.html", context, status=422 if form.errors else 200)


@require_safe
@allow(Capability.READ_AUDIT)
def audit_csv(request: HttpRequest) -> HttpResponse:
    """The events that fit the choices, all of them; read while they are sent."""
    clinic = request.user.clinic
    form = TrailForm(request.GET, clinic=clinic)
    whose = Patient(pk=form.patient) if form.patient else None
    rows = lines(form.chosen, clinic)
    return export(request, rows, what="audit trail", about=whose, chosen=form.told)
