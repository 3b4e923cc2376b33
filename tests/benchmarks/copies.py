"""Many records out of a few: the database copies the rows of some patients, again and again.

Triggers and foreign keys rest meanwhile. So the copies are not in the journal, and their entries in the audit
trail have no link of the chain, which `audit_check` would find. Rows are checked in every other way.
"""

import contextlib
from collections.abc import Iterable

from django.apps import apps
from django.core.management.color import no_style
from django.db import OperationalError, connection, models

from clinic import statistics
from clinic.models import AuditEvent, Clinic, ClinicOwned, Staff
from tests.benchmarks.clinics import FAMILY, FOUR, LATER, Copy, date_the_trail
from tests.triggers import without_triggers

STRIDE = 1_000  # between the number of a row and that of its next copy
AT_ONCE = 500  # copies
PLAN = """
CREATE TEMPORARY TABLE plan (n integer PRIMARY KEY, clinic bigint, lead bigint, place integer, days integer,
  hours integer, is_past boolean, older integer, family text, folded text)
"""
MOVED = f"+ c.n * {STRIDE}"
SHIFTED = {
    "sqlite": {
        "moment": "datetime({0}, c.days || ' days', c.hours || ' hours')",
        "day": "date({0}, c.days || ' days')",
        "earlier": "date({0}, -c.older || ' days')",
        "end": f"date({{0}}, c.days || ' days', '{LATER} days')",
    },
    "postgresql": {
        "moment": "{0} + make_interval(days => c.days, hours => c.hours)",
        "day": "{0} + c.days",
        "earlier": "{0} - c.older",
        "end": f"{{0}} + c.days + {LATER}",
    },
}


def copied_models() -> list[type[models.Model]]:
    """What a record is made of, and the events about it, as far as there are rows."""
    owned = [model for model in apps.get_models() if issubclass(model, ClinicOwned)]
    kept = [model for model in owned if model._meta.app_label != "clinic" or model is AuditEvent]
    return [model for model in kept if model._default_manager.exists()]


def copy(plan: Iterable[Copy]) -> int:
    """Copy every record of the database as planned; return how many rows there are then."""
    found = copied_models()
    with _made_for_loading(), without_triggers(connection):
        date_the_trail()
        with connection.cursor() as cursor:
            last = _prepare(cursor, found, plan)
            for first in range(1, last + 1, AT_ONCE):
                for model in found:
                    cursor.execute(_statement(model), [first, first + AT_ONCE - 1])
            for statement in connection.ops.sequence_reset_sql(no_style(), found):
                cursor.execute(statement)
    _tidy()
    return sum(model._default_manager.count() for model in found)


@contextlib.contextmanager
def _made_for_loading():
    """SQLite without a journal, PostgreSQL without waiting for the disk; until the connection is closed."""
    settings = {
        "sqlite": ("PRAGMA foreign_keys=OFF", "PRAGMA cache_size=-400000"),
        "postgresql": ("SET synchronous_commit=off",),
    }
    connection.close()  # with what was never read to its end
    with connection.cursor() as cursor:
        for statement in settings[connection.vendor]:
            cursor.execute(statement)
        if connection.vendor == "sqlite":
            # Needs the file alone. Where somebody else has it open, loading is slower and no less right.
            with contextlib.suppress(OperationalError):
                cursor.execute("PRAGMA journal_mode=OFF")
    yield
    connection.close()


def _tidy() -> None:
    """What PostgreSQL does by itself in the minutes after, and SQLite with the command of every night."""
    statistics.look_again()
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM ANALYZE")


def _prepare(cursor, found, plan: Iterable[Copy]) -> int:
    """Write down the plan and what is copied; return the number of the last copy."""
    cursor.execute(PLAN)
    rows = [one.row() for one in plan]
    marks = ", ".join(["%s"] * 10)
    cursor.executemany(f"INSERT INTO plan VALUES ({marks})", rows)
    for model in found:
        table = model._meta.db_table
        cursor.execute(f'CREATE TEMPORARY TABLE "first_{table}" AS SELECT * FROM "{table}"')
        cursor.execute(f'SELECT MAX(id) FROM "{table}"')
        if cursor.fetchone()[0] >= STRIDE:
            raise RuntimeError(f"{table} has rows from {STRIDE} on: copies would meet.")
    return len(rows)


def _statement(model) -> str:
    """SQL that writes some copies of the rows of one model, in the order of their numbers."""
    fields = model._meta.local_concrete_fields
    table = model._meta.db_table
    columns = ", ".join(f'"{field.column}"' for field in fields)
    values = ", ".join(_value(field) for field in fields)
    order = " ORDER BY c.n, t.id" if connection.vendor == "postgresql" else ""
    return (
        f'INSERT INTO "{table}" ({columns}) SELECT {values} '
        f'FROM plan AS c CROSS JOIN "first_{table}" AS t WHERE c.n BETWEEN %s AND %s{order}'
    )


def _value(field: models.Field) -> str:
    """SQL for a column of a copy."""
    shifted = SHIFTED[connection.vendor]
    column = f't."{field.column}"'
    own = _own(shifted).get(f"{field.model._meta.model_name}.{field.name}")
    if own:
        return own
    if field.primary_key:
        return f"{column} {MOVED}"
    if field.related_model is Clinic:
        return "c.clinic"
    if field.related_model is Staff:
        return f"CASE WHEN {column} IS NULL THEN NULL ELSE c.lead END"
    if field.is_relation:
        return f"{column} {MOVED}"
    if isinstance(field, models.DateTimeField):
        return shifted["moment"].format(column)
    if isinstance(field, models.DateField):
        return shifted["day"].format(column)
    return column


def _own(shifted: dict[str, str]) -> dict[str, str]:
    """Columns in which a copy is somebody else, or somebody who was discharged long ago."""
    due = shifted["day"].format("t.due_on")
    end = shifted["end"].format("t.opened")
    return {
        "patient.record_number": f"t.record_number + c.place * {len(FOUR)}",
        "patient.family_name": "c.family",
        "patient.search_name": f"replace(t.search_name, '{FAMILY.lower()}', c.folded)",
        "patient.born": shifted["earlier"].format("t.born"),
        "case.status": "CASE WHEN c.is_past THEN 'discharged' ELSE t.status END",
        "case.closed": f"CASE WHEN c.is_past THEN {end} ELSE NULL END",
        "case.due_on": f"CASE WHEN c.is_past THEN NULL ELSE {due} END",
        "appointment.status": (
            "CASE WHEN c.is_past AND t.status = 'booked' THEN 'missed' ELSE t.status END"
        ),
        "auditevent.object_id": f"t.object_id {MOVED}",
        "auditevent.patient_key": f"t.patient_key {MOVED}",
    }
