"""The rows of a copy as data. The layout is numbered: a program that reads it can tell when it changes."""

import json
from collections.abc import Iterable

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from clinic.models import Clinic, Staff

from .table import Row, Table
from .tables import LEFT_OUT_COLUMNS, TREES
from .words import Names

LAYOUT = "lateral-elbow-clinic/record-copy"
VERSION = 2


def staff_names(clinic: Clinic) -> dict[int, str]:
    """The names of everybody who works or has worked in the clinic, by number."""
    return {one.pk: str(one) for one in Staff.objects.filter(clinic=clinic)}


def in_data(row: Row, names: Names) -> dict[str, object]:
    """A row with its columns under their names, and the rows under it as lists under their tables' names."""
    plain = {field.name: _value(row.row, field, names) for field in kept_columns(row.table)}
    return plain | {table.name: [in_data(one, names) for one in rows] for table, rows in row.inside}


def kept_columns(table: Table) -> list[models.Field]:
    return [field for field in table.columns() if field.name not in LEFT_OUT_COLUMNS]


def _value(row: models.Model, field: models.Field, names: Names) -> object:
    if field.many_to_many:
        return [one.pk for one in getattr(row, field.name).all()]
    value = getattr(row, field.attname)
    return somebody(value, names) if field.related_model is Staff else value


def somebody(number: int | None, names: Names) -> dict[str, object] | None:
    """Somebody of the clinic, or None."""
    return None if number is None else {"id": number, "name": names[number]}


def as_text(data: object) -> str:
    return json.dumps(data, cls=DjangoJSONEncoder, ensure_ascii=False, indent=1)


def described() -> str:
    """The layout in words: each table, where its rows stand, and its columns."""
    lines = [
        f"{LAYOUT}, version {VERSION}",
        "",
        "record.json is one object: layout, version, clinic, patient (record number), made_at, and parts,",
        "a list. Each part has kind, title and rows. A row holds its columns under the names below and,",
        "under the name of another table, the list of the rows that belong to it. Days are ISO 8601",
        "(2026-03-12), moments are ISO 8601 with their offset from UTC, empty values are null. A person of",
        "the clinic is an object with id and name; any other column that names a row holds that row's id.",
        "The rows of the part “trail” are events of the audit trail: what was done, never what was written,",
        "and on which page (since version 2; null in events from before pages were noted).",
        "Those of “changes” are the journal's: columns as they were before and as they became.",
        "",
    ]
    for tree in TREES:
        lines += _described(tree, depth=0)
    return "\n".join(lines) + "\n"


def _described(table: Table, *, depth: int) -> Iterable[str]:
    indent = "  " * depth
    yield f"{indent}{table.name}: {table.model.__doc__.splitlines()[0]}"
    for field in kept_columns(table):
        choices = ", ".join(str(code) for code, _label in field.choices or ())
        one_of = f"; one of: {choices}" if choices else ""
        yield f"{indent}  - {field.name} ({field.get_internal_type()}): {field.verbose_name}{one_of}"
    for inner in table.inside:
        yield from _described(inner, depth=depth + 1)
    if depth == 0:
        yield ""
