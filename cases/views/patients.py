"""Finding, registering and knowing the patients."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from cases.access import patient_or_404
from cases.forms.patients import PatientForm
from cases.models import Notice, Patient
from cases.suits import suits_words
from cases.tables import patient_rows
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.onward import came_from
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post

PATIENTS_A_PAGE = 25
PAST_SHOWN = 10


@require_safe
@allow(Capability.REGISTER)
def patients(request):
    page = Paginator(_chosen(request), PATIENTS_A_PAGE).get_page(request.GET.get("page"))
    may_bring_in = request.user.may(Capability.MANAGE)
    context = {"page": page, "query": request.GET.get("q", ""), "may_bring_in": may_bring_in}
    return render(request, "cases/patients.html", context)


@require_safe
@allow(Capability.REGISTER)
def patients_csv(request):
    found, searched = _chosen(request), bool(request.GET.get("q"))
    told = {"patients": found.count(), "searched": searched}
    return export(request, patient_rows(found), what="patients", **told)


def _chosen(request):
    """The patients that the page and the file show, in their order."""
    found = Patient.objects.of(request.user.clinic).named(request.GET.get("q", ""))
    return found.sorted_by(request.GET.get("sort", "name"))


@require_http_methods(["GET", "POST"])
@allow(Capability.REGISTER)
@atomic_post
def patient_new(request):
    form = PatientForm(typed(request))
    look_alikes = []
    if request.method == "POST" and form.is_valid():
        look_alikes = [] if "anyway" in request.POST else form.look_alikes(request.user.clinic)
        if not look_alikes:
            return _register(request, form)
    context = {
        "form": form,
        "look_alikes": look_alikes,
        "known": [(other, _onward(request, other)) for other in look_alikes],
        "next": came_from(request),
    }
    return render(request, "cases/patient_form.html", context, status=422 if form.errors else 200)


def _onward(request, patient) -> str:
    """The booking that waits for this patient to be on record, otherwise the patient's page."""
    page, _mark, asked = came_from(request).partition("?")
    if page != reverse("cases:appointment_new"):
        return reverse("cases:patient", args=[patient.pk])
    begun = QueryDict(asked, mutable=True)
    begun.pop("q", None)
    begun["patient"] = patient.pk
    return f"{page}?{begun.urlencode()}"


def _register(request, form):
    form.settle_mail(by=request.user, on=timezone.localdate())
    patient = form.save(commit=False)
    patient.register(request.user.clinic)
    record(request.user, "registered", patient)
    _record_answer(request, form)
    told = {"name": patient, "record": patient.record}
    messages.success(request, _("%(name)s is registered, record %(record)s.") % told)
    return redirect(_onward(request, patient))


def _record_answer(request, form):
    if form.answers_about_mail:
        answer = "agreed" if form.instance.mail_agreed else "taken back"
        record(request.user, "recorded", form.instance, mail=answer)


def _answer_again(form):
    if {"mail_agreed", "email"} & set(form.changed_data):
        Notice.objects.answered_again(form.instance)


@require_safe
@allow(Capability.REGISTER)
def patient(request, pk):
    patient, now = patient_or_404(request.user, pk), timezone.now()
    appointments = patient.appointments.with_people()
    context = {
        "patient": patient,
        "cases": patient.cases.with_people().newest_first(),
        "coming": list(appointments.coming(after=now).in_order()),
        "suits": suits_words(patient.suits_weekdays, patient.suits_parts),
        "past": appointments.not_coming(after=now).latest_first()[:PAST_SHOWN],
        "may_keep_records": request.user.may(Capability.KEEP_RECORDS),
    }
    return render(request, "cases/patient.html", context)


@require_http_methods(["GET", "POST"])
@allow(Capability.REGISTER)
@atomic_post
def patient_edit(request, pk):
    patient = patient_or_404(request.user, pk, lock=request.method == "POST")
    name, form = str(patient), PatientForm(typed(request), instance=patient)
    if request.method == "POST" and form.is_valid():
        form.settle_mail(by=request.user, on=timezone.localdate())
        form.save()
        record(request.user, "changed", patient, fields=sorted(form.changed_data))
        _record_answer(request, form)
        _answer_again(form)
        messages.success(request, _("Saved."))
        return redirect("cases:patient", pk)
    context = {"form": form, "patient": patient, "name": name}
    return render(request, "cases/patient_form.html", context, status=422 if form.errors else 200)
