"""A table of the copy: which rows hang under which, and how they are laid out on paper."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum

from django.db import models


class Layout(StrEnum):
    """A row with label and value a line each, the rows as lines of one table, or all of them in one line."""

    FACTS = "facts"
    GRID = "grid"
    LINE = "line"


@dataclass(frozen=True, kw_only=True)
class Table:
    """The rows of a model under a row of the table above, whom they name by the key `of`."""

    model: type[models.Model]
    of: str = ""
    layout: Layout = Layout.GRID
    order: tuple[str, ...] = ("pk",)
    joined: tuple[str, ...] = ()
    inside: tuple["Table", ...] = ()

    @property
    def name(self) -> str:
        """What the table is called in the data."""
        return self.model._meta.model_name

    def walk(self) -> Iterator["Table"]:
        """The table and all that hang under it."""
        yield self
        for table in self.inside:
            yield from table.walk()

    def columns(self) -> list[models.Field]:
        return [*self.model._meta.concrete_fields, *self.model._meta.many_to_many]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row with the rows under it, table by table."""

    table: Table
    row: models.Model
    inside: tuple[tuple[Table, tuple["Row", ...]], ...] = ()


def load(table: Table, rows: models.QuerySet) -> list[Row]:
    """Read rows and all under them: one query a table, however many rows there are."""
    linked = [field.name for field in table.model._meta.many_to_many]
    rows = rows.select_related(*table.joined) if table.joined else rows
    found = list(rows.prefetch_related(*linked).order_by(*table.order))
    under = [(inner, _under(inner, [one.pk for one in found])) for inner in table.inside]
    return [
        Row(
            table=table,
            row=one,
            inside=tuple((inner, tuple(by_key.get(one.pk, ()))) for inner, by_key in under),
        )
        for one in found
    ]


def _under(table: Table, keys: Collection[int]) -> dict[int, list[Row]]:
    grouped: dict[int, list[Row]] = defaultdict(list)
    named = table.model._meta.get_field(table.of).attname
    for row in load(table, table.model._base_manager.filter(**{f"{table.of}__in": keys})):
        grouped[getattr(row.row, named)].append(row)
    return grouped
