"""The rows that were left out, as a table that can be put right and brought in again."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from cases.importing.columns import COLUMNS
from cases.models import Import
from clinic.templatetags.clinic_tags import say

READ_AT_ONCE = 500


def left_out_rows(run: Import) -> Iterator[list[object]]:
    """The head, then each row with its line, what is wrong, and its cells under the headings of the file."""
    codes = [column.code for column in run.named]
    yield [_("Line"), _("Why"), *(run.head[run.columns[code]] for code in codes)]
    for row in run.rows.left_out().in_order().iterator(chunk_size=READ_AT_ONCE):
        yield [row.line, why(run, row.problems), *(row.cells.get(code, "") for code in codes)]


def why(run: Import, problems: list[dict[str, str]]) -> str:
    """What is wrong with a row, each sentence behind what it is about."""
    labels = {column.code: say(column.label) for column in COLUMNS[run.kind]}
    told = ((labels.get(one["column"]), one["why"]) for one in problems)
    return " ".join(f"{label}: {text}" if label else text for label, text in told)
