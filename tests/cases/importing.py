"""Bringing in a file as a manager does it, page by page."""

import csv
import io

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from zeal import zeal_ignore

from cases.models import Import
from tests.pages import typed

# Where the database refuses a step, its bookings are kept one by one, each under its practitioner's lock.
ROW_BY_ROW = [{"model": "clinic.Staff", "field": "get()"}]
HEAD = ["Number", "First name", "Surname", "Date of birth", "Sex", "Phone"]
BOOKED = ["Number", "Day", "Start time", "Minutes", "Therapist"]


def row(number: int, **changes) -> list[str]:
    """A sound row of patients under HEAD, but for `changes` by heading."""
    sound = {
        "Number": str(number),
        "First name": f"Ada{number}",
        "Surname": f"Quist{number * 7919 % 10007}",
        "Date of birth": f"{1930 + number % 70}-{number % 12 + 1:02d}-{number % 28 + 1:02d}",
        "Sex": "f",
        "Phone": "+44 1632 960100",
    }
    return list((sound | changes).values())


def written(rows, *, head=HEAD, encoding="utf-8", **dialect) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, **dialect).writerows([head, *rows])
    return text.getvalue().encode(encoding)


def upload(client, data: bytes, *, kind="patients", name="old.csv"):
    file = SimpleUploadedFile(name, data, "text/csv")
    return client.post(reverse("cases:imports"), {"kind": kind, "file": file})


def url(run: Import, page: str = "run") -> str:
    return reverse(f"cases:import_{page}", args=[run.pk])


def name_columns(client, run: Import, how=None, **changes):
    """Open the page of columns, change something, and send it."""
    page = client.get(url(run, "columns"), how or {})
    return client.post(url(run, "columns"), typed(page, changes))


def go_on(client, run: Import) -> Import:
    """Take steps until there is none to take."""
    run.refresh_from_db()
    with zeal_ignore(ROW_BY_ROW):
        while run.moves:
            client.post(url(run, "step"))
            run.refresh_from_db()
    return Import.objects.get(pk=run.pk)


def checked(client, data: bytes, *, kind="patients", **changes) -> Import:
    """Upload a file, name its columns as proposed but for `changes`, and check all of it."""
    answer = upload(client, data, kind=kind)
    assert answer.status_code == 302, answer.context["form"].errors
    run = Import.objects.latest("pk")
    answer = name_columns(client, run, **changes)
    assert answer.status_code == 302, answer.context["form"].errors
    return go_on(client, run)


def begin(client, run: Import, *, errors="nothing", anyway=()):
    return client.post(
        url(run, "begin"), {"errors_choice": errors, "anyway": [str(pk) for pk in anyway]}
    )


def bring_in(client, data: bytes, *, kind="patients", errors="nothing", **changes) -> Import:
    run = checked(client, data, kind=kind, **changes)
    answer = begin(client, run, errors=errors)
    assert answer.status_code == 302, answer.context["form"].errors
    return go_on(client, run)


def problems(run: Import) -> list[tuple[int, str]]:
    """The line of each row that is left out, and the sentences that say why."""
    return [
        (one.line, " ".join(problem["why"] for problem in one.problems))
        for one in run.rows.left_out().in_order()
    ]
