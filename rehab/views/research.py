"""Cases without names for research: what the file holds, how few are alike, and the file itself."""

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clinic.access import allow
from clinic.audit import record
from clinic.roles import Capability
from rehab.clinical.without_names import (
    FURTHEST,
    OLDEST,
    SMALLEST_CELLS,
    Cells,
    people_in,
    small_cells,
)
from rehab.forms.research import ResearchForm
from rehab.research.archive import archive
from rehab.research.columns import TABLES
from rehab.research.gather import Unnamed


def file_of(request: HttpRequest) -> Unnamed:
    now = timezone.now()
    return Unnamed(request.user.clinic, at=now, today=timezone.localdate(now))


@require_safe
@allow(Capability.MANAGE)
def research(request: HttpRequest) -> HttpResponse:
    file, form = file_of(request), ResearchForm(request.GET)
    small = small_cells(file.cells, smallest=form.chosen)
    context = {
        "file": file,
        "form": form,
        "smallest": form.chosen,
        "limit": SMALLEST_CELLS[form.chosen],
        "small": small,
        "grid": grid_of(file.cells, small),
        "few": people_in(small),
        "tables": TABLES,
        "oldest": OLDEST,
        "furthest": FURTHEST,
    }
    return render(request, "rehab/research.html", context, status=422 if form.errors else 200)


def grid_of(cells: Cells, small: Cells) -> dict[str, list]:
    """The cells as a table: a row for each age band, a column for each sex and side that occur."""
    columns = sorted({alike[1:] for alike in cells})
    rows = [
        (band, [(*one, len(cells.get((band, *one), ())), (band, *one) in small) for one in columns])
        for band in sorted({alike[0] for alike in cells})
    ]
    return {"columns": columns, "rows": rows}


@require_safe
@allow(Capability.MANAGE)
def research_zip(request: HttpRequest) -> HttpResponse:
    file, form = file_of(request), ResearchForm(request.GET)
    record(request.user, "exported", **told(file, smallest=form.chosen))
    return StreamingHttpResponse(
        archive(file, smallest=form.chosen),
        content_type="application/zip",
        headers={"Content-Disposition": 'attachment; filename="cases-without-names.zip"'},
    )


def told(file: Unnamed, *, smallest: int) -> dict[str, object]:
    """What the trail holds of such a file."""
    small = small_cells(file.cells, smallest=smallest)
    counts = {"cases": len(file.cases), "patients": file.people, "small_cells": len(small)}
    return {"what": "cases without names", "smallest": smallest, **counts}
