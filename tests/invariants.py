"""What no request may do, whatever it sends: touch another clinic's rows, point at them, or lose a row."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

from django.apps import apps
from django.db import connection, models

from clinic.models import Clinic

WRITTEN = re.compile(r'^\s*(?:INSERT INTO|UPDATE|DELETE FROM) "(\w+)"')


def owned_models() -> dict[str, type[models.Model]]:
    """Each model whose rows belong to a clinic, by its table."""
    return {
        model._meta.db_table: model
        for model in apps.get_models()
        if any(field.related_model is Clinic for field in model._meta.concrete_fields)
    }


class Rows:
    """The rows of all clinics before a request of somebody of `own`."""

    def __init__(self, own: Clinic):
        self.own, self.models = own, owned_models()
        self.others = {table: self._others(model) for table, model in self.models.items()}
        self.mine = {table: self._mine(model) for table, model in self.models.items()}
        self.written: set[str] = set()
        self.gone: set[tuple] = set()

    def begin(self) -> None:
        """The rows are as they were at first: what was written is taken back."""
        self.gone = set()

    def _others(self, model) -> dict:
        rows = model._base_manager.exclude(clinic=self.own).values()
        return {row[model._meta.pk.attname]: row for row in rows}

    def _mine(self, model) -> set:
        return set(model._base_manager.filter(clinic=self.own).values_list("pk", flat=True))

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Notes the tables that are written to meanwhile."""
        self.written = set()

        def note(execute, sql, params, many, context):
            if found := WRITTEN.match(sql):
                self.written.add(found[1])
            return execute(sql, params, many, context)

        with connection.execute_wrapper(note):
            yield

    def touched(self) -> list[tuple[str, type[models.Model]]]:
        return [(table, self.models[table]) for table in self.written & self.models.keys()]

    def foreign(self) -> list[str]:
        """Tables in which a row of another clinic has changed, come or gone, or is pointed at."""
        changed = [t for t, model in self.touched() if self._others(model) != self.others[t]]
        return changed + [
            f"{table}.{field.name}"
            for table, model in self.touched()
            for field in model._meta.concrete_fields
            if field.is_relation and field.related_model._meta.db_table in self.models
            if self._points_away(model, field.name)
        ]

    def _points_away(self, model, name: str) -> bool:
        pointing = model._base_manager.filter(clinic=self.own).exclude(**{name: None})
        return pointing.exclude(**{f"{name}__clinic": self.own}).exists()

    def lost(self) -> set[str]:
        """Models of which a row is gone since the last time."""
        now = {
            (model._meta.label, pk)
            for table, model in self.touched()
            for pk in self.mine[table] - self._mine(model)
        }
        newly, self.gone = now - self.gone, self.gone | now
        return {label for label, _pk in newly}
