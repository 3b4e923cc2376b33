"""Tables that leave as CSV: streamed, in UTF-8, harmless in a spreadsheet, and noted in the trail."""

import csv
from collections.abc import Iterable, Iterator

from django.db import models
from django.http import HttpRequest, StreamingHttpResponse
from django.utils import timezone

from clinic.audit import record

# A spreadsheet takes a cell that begins so for a formula and runs it.
FORMULA = ("=", "+", "-", "@", "\t", "\r")
AT_ONCE = 500  # rows that are in memory while a list is sent
SENT_AT_ONCE = 16 * 1024  # signs


class _Line:
    """A file that gives back what is written to it."""

    def write(self, text: str) -> str:
        return text


def harmless(cell: object) -> object:
    """Return the cell, with an apostrophe before a text that a spreadsheet would run; a number is none.

    A row of the database is written as its text, so that is what is looked at.
    """
    runs = not isinstance(cell, int | float) and str(cell).startswith(FORMULA)
    return f"'{cell}" if runs else cell


def lines(rows: Iterable[Iterable[object]]) -> Iterator[str]:
    writer = csv.writer(_Line())
    return (writer.writerow([harmless(cell) for cell in row]) for row in rows)


def blocks(texts: Iterable[str]) -> Iterator[str]:
    """Join short texts to blocks: each one that is sent costs a call of the network."""
    held, size = [], 0
    for text in texts:
        held.append(text)
        size += len(text)
        if size >= SENT_AT_ONCE:
            yield "".join(held)
            held, size = [], 0
    yield "".join(held)


def csv_file(rows: Iterable[Iterable[object]], *, name: str) -> StreamingHttpResponse:
    """Answer with the rows as a file of this name; they are read while they are sent."""
    return StreamingHttpResponse(
        blocks(lines(rows)),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )


def export(
    request: HttpRequest,
    rows: Iterable[Iterable[object]],
    *,
    what: str,
    about: models.Model | None = None,
    **detail,
) -> StreamingHttpResponse:
    """Write into the trail that the rows are taken along, and answer with them, named by `what` and the day.

    What is streamed is not in the reader's language any more, nor in the clinic's time: rows that are made
    while they are sent hold codes, and moments with their offset.
    """
    record(request.user, "exported", about, what=what, **detail)
    day = timezone.localdate().isoformat()
    return csv_file(rows, name=f"{what.replace(' ', '-')}-{day}")
