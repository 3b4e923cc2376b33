"""The rows of a copy as blocks of a page: labels and words, empty columns left out."""

from collections.abc import Iterator

from django.db import models
from django.utils.text import capfirst

from clinic.models import Staff
from rehab.printing.record_copy import Block

from .as_data import kept_columns
from .table import Layout, Row, Table
from .tables import NOT_ON_PAPER
from .words import WORDS, Names, label, title, words


def shown_columns(table: Table) -> list[models.Field]:
    """The columns that paper shows: no number that only leads to another row, and who is known by name."""
    return [
        field
        for field in kept_columns(table)
        if not is_key(table, field)
        and f"{table.model._meta.label}.{field.name}" not in NOT_ON_PAPER
    ]


def is_key(table: Table, field: models.Field) -> bool:
    """Whether the column is a number by which rows find each other: on paper they stand under each other."""
    named = f"{table.model._meta.label}.{field.name}" in WORDS or field.related_model is Staff
    return field.primary_key or (field.is_relation and not named)


def blocks(table: Table, rows: tuple[Row, ...], names: Names) -> Iterator[Block]:
    """The rows of one table, in one block or each in its own."""
    if table.layout is Layout.GRID and rows:
        yield _grid(table, rows, names)
        yield from (inner for row in rows for inner in _inside(row, names))
    elif table.layout is Layout.FACTS:
        yield from (_block(row, names) for row in rows)


def _block(row: Row, names: Names) -> Block:
    lines = (
        _line(table, rows, names)
        for table, rows in row.inside
        if table.layout is Layout.LINE and rows
    )
    return Block(
        title=title(row.row),
        facts=(*_said(row, names), *lines),
        inside=tuple(_inside(row, names)),
    )


def _inside(row: Row, names: Names) -> Iterator[Block]:
    for table, rows in row.inside:
        yield from blocks(table, rows, names)


def _said(row: Row, names: Names) -> Iterator[tuple[str, str]]:
    for field in shown_columns(row.table):
        if text := words(row.row, field, names):
            yield label(field), text


def _grid(table: Table, rows: tuple[Row, ...], names: Names) -> Block:
    heads, lines = _cells(table, rows, names)
    return Block(title=_plural(table), heads=heads, lines=lines)


def _line(table: Table, rows: tuple[Row, ...], names: Names) -> tuple[str, str]:
    """A few rows as one fact: what each is, and what it says."""
    heads, lines = _cells(table, rows, names)
    told = "; ".join(
        ": ".join(filter(None, (first, ", ".join(filter(None, rest))))) for first, *rest in lines
    )
    return (f"{_plural(table)} ({', '.join(heads[1:])})" if heads[1:] else heads[0]), told


def _cells(
    table: Table, rows: tuple[Row, ...], names: Names
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The heads and lines of the columns that say something in any of the rows."""
    fields = shown_columns(table)
    cells = [[words(row.row, field, names) for field in fields] for row in rows]
    used = [place for place in range(len(fields)) if any(line[place] for line in cells)]
    heads = tuple(label(fields[place]) for place in used)
    return heads, tuple(tuple(line[place] for place in used) for line in cells)


def _plural(table: Table) -> str:
    return str(capfirst(table.model._meta.verbose_name_plural))
