"""Tables that leave as CSV: streamed, in UTF-8, and harmless when a spreadsheet opens them."""

import csv
from collections.abc import Iterable, Iterator

from django.http import StreamingHttpResponse

# A spreadsheet takes a cell that begins so for a formula and runs it.
FORMULA = ("=", "+", "-", "@", "\t", "\r")


class _Line:
    """A file that gives back what is written to it."""

    def write(self, text: str) -> str:
        return text


def harmless(cell: object) -> object:
    """Return the cell, with an apostrophe before a text that a spreadsheet would run."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell


def lines(rows: Iterable[Iterable[object]]) -> Iterator[str]:
    writer = csv.writer(_Line())
    return (writer.writerow([harmless(cell) for cell in row]) for row in rows)


def csv_file(rows: Iterable[Iterable[object]], *, name: str) -> StreamingHttpResponse:
    """Answer with the rows as a file of this name; they are read while they are sent."""
    return StreamingHttpResponse(
        lines(rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )
