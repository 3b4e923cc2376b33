"""The packs of a day: whose, the making of them one after the other, and the files to print."""

import tempfile
from collections.abc import Callable
from typing import BinaryIO

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import HttpResponseClientRedirect

from cases.views.book import asked_day
from clinic.access import allow
from clinic.audit import record
from clinic.models import Staff
from clinic.roles import Capability
from clinic.slots import ONE_DAY
from clinic.typed import typed
from clinic.writing import atomic_post
from rehab.access import pack_run_or_404
from rehab.forms.packs import NOBODY, PackForm
from rehab.models import PackRun
from rehab.models.handout import Altered
from rehab.pack_files import write_archive, write_one_file
from rehab.packs import PackDay, prepare_next


@require_http_methods(["GET", "HEAD", "POST"])
@allow(Capability.PRINT)
def packs(request: HttpRequest) -> HttpResponse:
    """The patients of a day with what there is to print for each; neither stage nor exercises are named."""
    day = asked_day(request)
    listed = PackDay.of(request.user.clinic, day)
    form = PackForm(typed(request), listed=listed, ticked=request.GET.get("tick", ""))
    if request.method == "POST" and form.is_valid():
        return redirect("rehab:pack_run", _begin(form, request.user).pk)
    context = {
        "day": day,
        "today": timezone.localdate(),
        "before": day - ONE_DAY,
        "after": day + ONE_DAY,
        "listed": listed,
        "form": form,
        "nobody": NOBODY,
        "runs": PackRun.objects.of(request.user.clinic).of_day(day).counted(),
    }
    return render(request, "rehab/packs.html", context, status=422 if form.errors else 200)


def _begin(form: PackForm, user: Staff) -> PackRun:
    day, two_sided = form.listed.day, form.cleaned_data["two_sided"]
    run = PackRun.objects.begin(form.packs, day=day, two_sided=two_sided, by=user)
    record(user, "asked for", run, packs=len(form.packs), day=day.isoformat())
    return run


@require_safe
@allow(Capability.PRINT)
def pack_run(request: HttpRequest, pk: int) -> HttpResponse:
    """How far the packs are; the page asks for the next one until all are ready."""
    run = pack_run_or_404(request.user, pk)
    return render(request, "rehab/pack_run.html", {"run": run})


@require_POST
@allow(Capability.PRINT)
def pack_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Make one pack ready."""
    prepare_next(pack_run_or_404(request.user, pk), by=request.user)
    run = pack_run_or_404(request.user, pk)
    if not request.htmx:
        return redirect("rehab:pack_run", run.pk)
    if run.is_ready:
        return HttpResponseClientRedirect(resolve_url("rehab:pack_run", run.pk))
    return render(request, "rehab/pack_run.html#progress", {"run": run})


@require_POST
@allow(Capability.PRINT)
@atomic_post
def pack_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Make no more of them; what is ready can be printed."""
    run = pack_run_or_404(request.user, pk)
    if not run.is_ready:
        record(request.user, "stopped", run, packs=run.stop())
    return redirect("rehab:pack_run", run.pk)


@require_safe
@allow(Capability.PRINT)
def packs_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    return _file(request, pk, write_one_file, "pdf")


@require_safe
@allow(Capability.PRINT)
def packs_zip(request: HttpRequest, pk: int) -> HttpResponse:
    return _file(request, pk, write_archive, "zip")


def _file(
    request: HttpRequest, pk: int, write: Callable[[PackRun, BinaryIO], None], kind: str
) -> HttpResponse:
    """Answer with a file that is written to the disk first: however many packs, few are in memory."""
    run = pack_run_or_404(request.user, pk)
    if not run.is_ready or not run.sheets:
        raise Http404("nothing to print yet")
    file = tempfile.TemporaryFile()  # noqa: SIM115  the answer closes it when it is sent
    try:
        write(run, file)
    except Altered as refusal:
        file.close()
        kept = refusal.handout
        record(request.user, "refused", kept, what=kept.kind, sha=kept.mark)
        return render(request, "rehab/handout_altered.html", {"handout": kept}, status=409)
    file.seek(0)
    record(request.user, "printed", run, what="packs", file=kind, sheets=run.sheets)
    name = f"packs-{run.day:%Y-%m-%d}.{kind}"
    return FileResponse(file, as_attachment=kind == "zip", filename=name)
