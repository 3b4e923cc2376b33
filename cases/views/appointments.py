"""Booking, moving, marking and cancelling one appointment."""

from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from cases.access import appointment_or_404, case_or_404, patient_or_404
from cases.forms.appointments import AppointmentForm, CancelForm, proposal, with_time_taken
from cases.forms.finding import FindForm
from cases.free_times import Search
from cases.models import Appointment, Notice, Patient
from cases.views.book import book_page
from clinic.access import allow
from clinic.audit import record
from clinic.onward import came_from, way_on
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import clock, written
from clinic.typed import typed
from clinic.writing import atomic_post

MATCHES_SHOWN = 20


def whom(request) -> Patient | None:
    """The patient that the address names, by case or by person."""
    for name, fetch in (("case", case_or_404), ("patient", patient_or_404)):
        if number := request.GET.get(name):
            if not number.isdecimal():
                raise BadRequest(name)
            row = fetch(request.user, int(number))
            return row.patient if name == "case" else row
    return None


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def appointment_new(request):
    patient = whom(request)
    if patient is None:
        return _ask_whom(request)
    form = _form(request, Appointment(patient=patient), by=request.user)
    if _saves(request) and form.is_valid() and form.keep():
        return _booked(request, form.instance, verb="booked", told=_("Booked: %(who)s, %(when)s."))
    context = _times(request, form) | {
        "patient": patient,
        "times_first": not form["start"].value(),
        "next": came_from(request),
    }
    return render(
        request, "cases/appointment_form.html", context, status=422 if form.errors else 200
    )


def _looks(request) -> bool:
    """Whether free times are asked for, near the day or of one day, rather than a booking."""
    return "look" in request.POST or "only" in request.POST


def _saves(request) -> bool:
    return request.method == "POST" and not _looks(request)


def _form(request, booked: Appointment, *, by=None) -> AppointmentForm:
    """The form as it was sent; while free times are looked for, with what was sent as proposals."""
    asked = request.POST if _looks(request) else request.GET
    proposed = proposal(asked, booked.patient, by=by) if asked or not booked.pk else None
    data = None if _looks(request) else with_time_taken(typed(request))
    return AppointmentForm(data, instance=booked, initial=proposed)


def _times(request, form: AppointmentForm) -> dict:
    """The form with the free times that go with it."""
    sent = request.POST if "days_before" in request.POST else None
    find = FindForm(sent, patient=form.instance.patient)
    times = Search(form, find, now=timezone.now()).run()
    return {"form": form, "find": find, "times": times}


def _ask_whom(request):
    query = request.GET.get("q", "")
    found = Patient.objects.of(request.user.clinic).named(query).sorted_by("name")
    context = {
        "query": query,
        "matches": found[:MATCHES_SHOWN] if query.strip() else [],
        "next": came_from(request),
    }
    return render(request, "cases/appointment_form.html", context)


def _booked(request, appointment, *, verb, told, otherwise=""):
    record(request.user, verb, appointment)
    ends = f"{clock(appointment.starts_at)}–{clock(appointment.ends_at)}"
    when = f"{written(appointment.starts_at)}, {ends}"
    messages.success(request, told % {"who": appointment.patient, "when": when})
    _say_who_hears(request, appointment)
    way = way_on(request, otherwise or book_page(appointment.day))
    return redirect(to_booking(way, appointment))


def to_booking(page: str, appointment: Appointment) -> str:
    """A page, and where it shows bookings, at this one: the focus stays where it was."""
    shows = page.split("?")[0] in map(reverse, ("cases:day", "cases:book", "cases:week"))
    return f"{page}#booking-{appointment.pk}" if shows else page


def _say_who_hears(request, appointment):
    """Say whether an e-mail tells the patient, or somebody has to call."""
    notice = Notice.objects.now_about(appointment)
    if notice and notice.is_waiting:
        messages.success(
            request, _("%(who)s hears of it by e-mail.") % {"who": appointment.patient}
        )
    elif notice and notice.is_failed:
        call = _("The e-mail address of %(who)s let nothing in. Please call.")
        messages.warning(request, call % {"who": appointment.patient})


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def appointment(request, pk):
    appointment = appointment_or_404(request.user, pk, lock=request.method == "POST")
    form = _form(request, appointment)
    if _saves(request) and (refusal := appointment.refusal_to_change(start=True)):
        messages.error(request, refusal)
        return redirect("cases:appointment", pk)
    if _saves(request) and form.is_valid() and form.keep():
        return save_moved(request, form)
    return show_appointment(request, pk, form)


def save_moved(request, form: AppointmentForm, *, otherwise: str = ""):
    told = _("Saved: %(who)s, %(when)s.")
    return _booked(request, form.instance, verb="moved", told=told, otherwise=otherwise)


def show_appointment(request, pk: int, form: AppointmentForm):
    # What was sent stands in the form's own row already.
    appointment = appointment_or_404(request.user, pk) if form.is_bound else form.instance
    times = _times(request, form) if appointment.may_move else {"form": form}
    context = times | {
        "appointment": appointment,
        "times_first": not form.errors,
        "today": timezone.localdate(),
        "notices": appointment.notices.newest_first().select_related("settled_by"),
        "next": came_from(request),
        "here": reverse("cases:appointment", args=[pk]),
    }
    return render(request, "cases/appointment.html", context, status=422 if form.errors else 200)


@require_POST
@allow(Capability.BOOK)
@atomic_post
def appointment_mark(request, pk):
    appointment = appointment_or_404(request.user, pk, lock=True)
    status = request.POST.get("status")
    if status not in Appointment.MARKS:
        raise BadRequest("status")
    way = to_booking(way_on(request, reverse("cases:appointment", args=[pk])), appointment)
    if refusal := appointment.refusal_to_mark(status, today=timezone.localdate()):
        messages.error(request, refusal)
        return redirect(way)
    appointment.mark(Appointment.Status(status))
    record(request.user, "marked", appointment, status=status)
    told = {"who": appointment.patient, "status": appointment.get_status_display()}
    messages.success(request, _("%(who)s: %(status)s.") % told)
    return redirect(_arrival(appointment, way) if status == "arrived" else way)


def _arrival(appointment: Appointment, way: str) -> str:
    """The page that says what the patient is given on arriving; it leads on to `way`."""
    return f"{reverse('rehab:arrival', args=[appointment.pk])}?{urlencode({'next': way})}"


@require_http_methods(["GET", "POST"])
@allow(Capability.BOOK)
@atomic_post
def appointment_cancel(request, pk):
    appointment = appointment_or_404(request.user, pk, lock=request.method == "POST")
    if not appointment.may_cancel:
        messages.error(request, _("Only an appointment that is still booked can be cancelled."))
        return redirect("cases:appointment", pk)
    form = CancelForm(typed(request))
    if request.method == "POST" and form.is_valid():
        appointment.cancel(reason=form.cleaned_data["reason"])
        record(request.user, "cancelled", appointment)
        messages.success(request, _("Cancelled: %(who)s.") % {"who": appointment.patient})
        _say_who_hears(request, appointment)
        return redirect(way_on(request, book_page(appointment.day)))
    context = {"appointment": appointment, "form": form, "next": came_from(request)}
    return render(
        request, "cases/appointment_cancel.html", context, status=422 if form.errors else 200
    )
