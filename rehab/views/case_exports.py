"""Many cases for another system: which, the writing of them step by step, and the file."""

from functools import partial

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.long_work import answer_file, answer_step
from clinic.roles import Capability
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.access import case_export_or_404
from rehab.exchange.stepwise import file_name, write_archive, write_next
from rehab.forms.case_exports import CaseExportForm
from rehab.models import CaseExport

WHAT = "cases as FHIR R4"
SHOWN = 20


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def case_exports(request: HttpRequest) -> HttpResponse:
    """Choose which cases; below, what was asked for before."""
    form = CaseExportForm(typed(request), clinic=request.user.clinic)
    exports = CaseExport.objects.of(request.user.clinic)
    if request.method == "POST" and form.is_valid():
        exports.remove_stale(now=timezone.now())
        export = exports.begin(form.numbers, by=request.user, **form.cleaned_data)
        record(request.user, "asked for", export, what=WHAT, cases=len(form.numbers))
        return redirect("rehab:case_export", export.pk)
    context = {"form": form, "exports": exports.counted().newest_first()[:SHOWN]}
    status = 422 if form.errors else 200
    return render(request, "rehab/case_exports.html", context, status=status)


@require_safe
@allow(Capability.MANAGE)
def case_export(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is; the page asks for the next step until all cases are written."""
    export = case_export_or_404(request.user, pk)
    return render(request, "rehab/case_export.html", {"export": export})


@require_POST
@allow(Capability.MANAGE)
def case_export_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Write the next case."""
    write_next(case_export_or_404(request.user, pk), by=request.user)
    export = case_export_or_404(request.user, pk)
    return answer_step(
        request,
        "rehab/case_export.html",
        {"export": export},
        goes_on=export.moves,
        address=resolve_url("rehab:case_export", export.pk),
    )


@require_safe
@allow(Capability.MANAGE)
def case_export_zip(request: HttpRequest, pk: int) -> HttpResponse:
    export = case_export_or_404(request.user, pk)
    if not export.can_be_fetched:
        raise Http404("not written yet, or removed")
    answer = answer_file(partial(write_archive, export), file_name(export))
    record(request.user, "exported", export, what=WHAT, cases=export.leaving().count())
    return answer


@require_POST
@allow(Capability.MANAGE)
@atomic_post
def case_export_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """The file was handed over, or it is not to be written after all."""
    export = case_export_or_404(request.user, pk)
    if export.removed_at is None:
        verb = "stopped" if export.moves else "removed"
        export.remove(at=timezone.now())
        record(request.user, verb, export, what=WHAT)
        messages.success(request, _("Nothing of the file is left here."))
    return redirect("rehab:case_exports")
