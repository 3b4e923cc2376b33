"""Changes in words: the names of tables and columns, and values as pages write them."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.apps import apps
from django.db import models
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clinic.models import Change

NOTHING = "–"


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Changed:
    """One change as a person reads it."""

    table: str
    number: int
    change: Change
    columns: tuple[Column, ...]

    @property
    def emptied(self) -> bool:
        return not self.columns and self.change.kind != Change.Kind.ADDED


@dataclass(frozen=True, slots=True)
class Rows:
    """Some changes: those with something to tell one by one, and what was just added."""

    told: tuple[Changed, ...]
    added: tuple[Changed, ...]


def sorted_out(changes: Iterable[Change]) -> Rows:
    rows = in_words(changes)
    added = tuple(row for row in rows if row.change.kind == Change.Kind.ADDED)
    return Rows(tuple(row for row in rows if row not in added), added)


def in_words(changes: Iterable[Change]) -> list[Changed]:
    tables = {model._meta.db_table: model for model in apps.get_models()}
    return [_changed(change, tables.get(change.table_name)) for change in changes]


def _changed(change: Change, model: type[models.Model] | None) -> Changed:
    fields = {f.column: f for f in model._meta.local_concrete_fields} if model else {}
    sides = change.before or {}, change.after or {}
    # As the model has them; what it no longer has comes last.
    names = [name for name in fields if name in sides[0]] + sorted(set(sides[0]) - set(fields))
    columns = [_column(fields.get(name), name, sides) for name in names]
    told = tuple(one for one in columns if (one.before, one.after) != (NOTHING, NOTHING))
    table = str(model._meta.verbose_name) if model else change.table_name
    return Changed(table, change.row_id, change, told)


def _column(field: models.Field | None, name: str, sides: tuple[dict, dict]) -> Column:
    label = str(field.verbose_name) if field else name
    return Column(label, *(_value(field, side.get(name)) for side in sides))


def _value(field: models.Field | None, value) -> str:
    if value is None or value == "":
        return NOTHING
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if field and field.choices:
        return str(dict(field.flatchoices).get(value, value))
    return _moment(field, value) if isinstance(field, models.DateField) else str(value)


def _moment(field: models.DateField, text: str) -> str:
    """A date, or a moment in the clinic's own time; SQLite stores moments in UTC without saying so."""
    if not isinstance(field, models.DateTimeField):
        return date_format(parse_date(text), _("j M Y"))
    moment = parse_datetime(text)
    if timezone.is_naive(moment):
        moment = moment.replace(tzinfo=datetime.UTC)
    moment = timezone.localtime(moment)
    return f"{date_format(moment, _('j M Y'))}, {moment:%H:%M}"
