"""The packs of a day: whose, the making of them one after the other, and the files to print."""

from collections.abc import Callable
from functools import partial
from typing import BinaryIO

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.views.book import asked_day
from clinic.access import allow
from clinic.audit import record
from clinic.long_work import answer_file, answer_step
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
    return answer_step(
        request,
        "rehab/pack_run.html",
        {"run": run},
        goes_on=not run.is_ready,
        address=resolve_url("rehab:pack_run", run.pk),
    )


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
    run = pack_run_or_404(request.user, pk)
    if not run.is_ready or not run.sheets:
        raise Http404("nothing to print yet")
    name = f"packs-{run.day:%Y-%m-%d}.{kind}"
    try:
        answer = answer_file(partial(write, run), name, is_saved=kind == "zip")
    except Altered as refusal:
        kept = refusal.handout
        record(request.user, "refused", kept, what=kept.kind, sha=kept.mark)
        return render(request, "rehab/handout_altered.html", {"handout": kept}, status=409)
    record(request.user, "printed", run, what="packs", file=kind, sheets=run.sheets)
    return answer
