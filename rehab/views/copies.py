"""A copy of everything held about a patient: for whom, the making of it step by step, and the file."""

from functools import partial

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import patient_or_404
from cases.models import Restriction
from clinic.access import allow
from clinic.audit import record
from clinic.long_work import answer_file, answer_step
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.access import record_copy_or_404
from rehab.copies.files import file_name, write_archive
from rehab.copies.making import make_next
from rehab.copies.parts import planned
from rehab.forms.copies import RecordCopyForm
from rehab.models import RecordCopy


@require_http_methods(["GET", "POST"])
@allow(Capability.KEEP_RECORDS)
@atomic_post
def record_copy_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Say for whom and why; then it is made."""
    patient = patient_or_404(request.user, pk, is_read=False)
    limit = Restriction.objects.on_patient(patient.pk, on=timezone.localdate())
    usual = {"receiver": RecordCopy.Receiver.PATIENT}
    form = RecordCopyForm(typed(request), initial=usual, restricted=limit is not None)
    if request.method == "POST" and form.is_valid():
        copies = RecordCopy.objects.of(request.user.clinic)
        copies.remove_stale(now=timezone.now())
        copy = copies.begin(patient, planned(patient), by=request.user, **form.cleaned_data)
        record(request.user, "asked for", copy, what="copy of the record", receiver=copy.receiver)
        return redirect("rehab:record_copy", copy.pk)
    context = {"patient": patient, "form": form}
    status = 422 if form.errors else 200
    return render(request, "rehab/record_copy_form.html", context, status=status)


@require_safe
@allow(Capability.KEEP_RECORDS)
def record_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """How far the copy is; the page asks for the next part until all are made."""
    copy = record_copy_or_404(request.user, pk)
    return render(request, "rehab/record_copy.html", {"copy": copy, "patient": copy.patient})


@require_POST
@allow(Capability.KEEP_RECORDS)
def record_copy_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Make one part."""
    make_next(record_copy_or_404(request.user, pk), by=request.user)
    copy = record_copy_or_404(request.user, pk)
    return answer_step(
        request,
        "rehab/record_copy.html",
        {"copy": copy},
        goes_on=not (copy.is_ready or copy.removed_at),
        address=resolve_url("rehab:record_copy", copy.pk),
    )


@require_safe
@allow(Capability.KEEP_RECORDS)
def record_copy_zip(request: HttpRequest, pk: int) -> HttpResponse:
    copy = record_copy_or_404(request.user, pk)
    if not copy.can_be_fetched:
        raise Http404("not made yet, or removed")
    answer = answer_file(partial(write_archive, copy), file_name(copy))
    record(request.user, "exported", copy, what="copy of the record", sha=copy.sha256[:12])
    return answer


@require_POST
@allow(Capability.KEEP_RECORDS)
@atomic_post
def record_copy_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """The file was handed over and is not needed here any more, or it is not to be made after all."""
    copy = record_copy_or_404(request.user, pk)
    if copy.removed_at is None:
        copy.remove_parts(at=timezone.now())
        record(request.user, "removed", copy, what="file of the copy")
        messages.success(request, _("The file is removed. For whom and why it was made stays."))
    return redirect("rehab:rights", copy.patient_id)
