"""Bringing in a file: upload, columns, check, and the rows step by step."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.access import import_or_404
from cases.forms.imports import BeginForm, ColumnsForm, UploadForm, WrittenForm
from cases.importing import steps
from cases.importing.left_out import left_out_rows, why
from cases.importing.reading import (
    WINDOWS,
    guess_delimiter,
    guess_encoding,
    is_really_utf_8,
    unreadable_line,
)
from cases.importing.survey import look
from cases.models import BroughtInAlready, Import, ImportRow
from cases.models.imports import ImportRowQuerySet
from cases.tables import import_rows
from clinic.access import allow
from clinic.audit import record
from clinic.csv_file import export
from clinic.long_work import answer_step
from clinic.roles import Capability
from clinic.templatetags.clinic_tags import say, written
from clinic.writing import atomic_post

SHOWN = 100


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def imports(request: HttpRequest) -> HttpResponse:
    """What was brought in, and a place for the next file."""
    posted = request.method == "POST"
    form = UploadForm(request.POST, request.FILES) if posted else UploadForm()
    if posted and form.is_valid() and (run := _receive(request, form)):
        return redirect("cases:import_columns", run.pk)
    listed = Import.objects.of(request.user.clinic).newest_first()[:SHOWN]
    context = {"form": form, "runs": listed}
    return render(request, "cases/imports.html", context, status=422 if posted else 200)


@require_safe
@allow(Capability.MANAGE)
def imports_csv(request: HttpRequest) -> HttpResponse:
    clinic = request.user.clinic
    runs = Import.objects.of(clinic).newest_first()
    return export(request, import_rows(runs, clinic), what="files brought in")


def _receive(request: HttpRequest, form: UploadForm) -> Import | None:
    file, kind = form.cleaned_data["file"], form.cleaned_data["kind"]
    try:
        run = Import.objects.receive(file.chunks(), kind=kind, name=file.name, by=request.user)
    except BroughtInAlready as known:
        form.add_error("file", already(known.run))
        return None
    record(request.user, "uploaded", run, what=kind, bytes=run.size, sha=run.sha256[:12])
    return run


def already(run: Import) -> str:
    told = {"day": written(run.made_at), "who": run.made_by, "name": run.file_name}
    return _("This very file was brought in already: “%(name)s”, %(day)s, by %(who)s.") % told


@require_http_methods(["GET", "POST"])
@allow(Capability.MANAGE)
@atomic_post
def import_columns(request: HttpRequest, pk: int) -> HttpResponse:
    """How the file is written and what its columns are."""
    run = import_or_404(request.user, pk, lock=request.method == "POST")
    if run.state not in (run.State.OPEN, run.State.CHECKING, run.State.CHECKED):
        return redirect("cases:import_run", run.pk)
    asked = _written(request, run)
    context = {"run": run, "written": asked}
    if not asked.is_valid():
        return render(request, "cases/import_columns.html", context, status=422)
    if (line := unreadable_line(run.parts, asked.cleaned_data["encoding"])) is not None:
        told = _("Line %(line)s can't be read so. Choose another encoding.")
        asked.add_error("encoding", told % {"line": line})
        return render(request, "cases/import_columns.html", context, status=422)
    seen = look(run.parts, **asked.cleaned_data)
    context |= {"look": seen, "doubt": _doubt(run, asked.cleaned_data["encoding"])}
    if seen.fault:
        asked.add_error(None, say(seen.fault))
        return render(request, "cases/import_columns.html", context, status=422)
    return _ask_columns(request, run, context)


def _ask_columns(request: HttpRequest, run: Import, context: dict) -> HttpResponse:
    posted = request.method == "POST"
    how = {"run": run, "look": context["look"], "written": context["written"].cleaned_data}
    form = ColumnsForm(request.POST if posted else None, **how)
    if posted and form.is_valid():
        run.understand(**form.said())
        record(request.user, "named the columns", run, rows=run.total)
        return redirect("cases:import_run", run.pk)
    status = 422 if posted else 200
    return render(request, "cases/import_columns.html", context | {"form": form}, status=status)


def _written(request: HttpRequest, run: Import) -> WrittenForm:
    """What was chosen, what was chosen before, or what the file looks like."""
    chosen = request.POST if request.method == "POST" else request.GET
    if "encoding" in chosen:
        return WrittenForm(chosen)
    encoding = run.encoding or guess_encoding(run.parts)
    try:
        delimiter = run.delimiter or guess_delimiter(run.parts, encoding)
    except UnicodeError:
        delimiter = ","
    return WrittenForm({"encoding": encoding, "delimiter": delimiter})


def _doubt(run: Import, encoding: str) -> bool:
    """Whether the letters beyond ASCII come out wrong, most likely."""
    return encoding == WINDOWS and is_really_utf_8(run.parts)


@require_safe
@allow(Capability.MANAGE)
def import_run(request: HttpRequest, pk: int) -> HttpResponse:
    """How far the file is: what the check has found, how many rows are in, what was left out."""
    run = import_or_404(request.user, pk)
    if run.state == run.State.OPEN:
        return redirect("cases:import_columns", run.pk)
    return _show(request, run, BeginForm(None, known=_known(run)))


def _known(run: Import) -> list:
    return list(run.rows.on_record().in_order()[:SHOWN]) if run.is_of_patients else []


def _with_why(run: Import, rows: ImportRowQuerySet) -> list[tuple[ImportRow, str]]:
    """The first of these rows, each with what is wrong in which column."""
    return [(row, why(run, row.problems)) for row in rows.in_order()[:SHOWN]]


def _show(request: HttpRequest, run: Import, form: BeginForm, status: int = 200) -> HttpResponse:
    context = {
        "run": run,
        "form": form,
        "left_out": [] if run.moves else _with_why(run, run.rows.left_out()),
        "stays": _with_why(run, run.rows.that_stay()),
        "most": SHOWN,
    }
    return render(request, "cases/import_run.html", context, status=status)


@require_POST
@allow(Capability.MANAGE)
def import_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Take one step, and say how far it is."""
    run = import_or_404(request.user, pk)
    steps.step(run, by=request.user, now=timezone.now())
    was, run = run.state, import_or_404(request.user, pk)
    return answer_step(
        request,
        "cases/import_run.html",
        {"run": run},
        goes_on=run.moves and run.state == was,
        address=resolve_url("cases:import_run", run.pk),
    )


@require_POST
@allow(Capability.MANAGE)
def import_begin(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin to bring in what was checked."""
    run = import_or_404(request.user, pk)
    form = BeginForm(request.POST, known=_known(run))
    if not form.is_valid():
        return _show(request, run, form, status=422)
    try:
        _begin(run, form, request)
    except steps.CanNotBegin as refusal:
        form.add_error("errors_choice", str(refusal))
        return _show(request, run, form, status=422)
    except BroughtInAlready as known:
        form.add_error(None, already(known.run))
        return _show(request, run, form, status=422)
    return redirect("cases:import_run", run.pk)


def _begin(run: Import, form: BeginForm, request: HttpRequest) -> None:
    nothing = form.cleaned_data["errors_choice"] == BeginForm.NOTHING
    steps.begin(run, all_or_nothing=nothing, anyway=form.cleaned_data["anyway"], by=request.user)


@require_POST
@allow(Capability.MANAGE)
def import_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Cancel, or end where it is."""
    run = import_or_404(request.user, pk)
    steps.stop(run, by=request.user)
    run = import_or_404(request.user, pk)
    if run.state == run.State.CANCELLED:
        messages.success(request, _("Stopped. Nothing was brought in, and the file is removed."))
        return redirect("cases:imports")
    return redirect("cases:import_run", run.pk)


@require_safe
@allow(Capability.MANAGE)
def import_left_out(request: HttpRequest, pk: int) -> HttpResponse:
    """The rows that were left out, each with the reason, as a file that can be put right and brought in."""
    run = import_or_404(request.user, pk)
    return export(request, left_out_rows(run), what="rows left out", about=run)
