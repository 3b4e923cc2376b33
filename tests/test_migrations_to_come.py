"""A migration runs while web processes of the release before still work: it takes nothing away from them.

Looked at is the SQL that it would run on PostgreSQL, which alone serves more than one machine, by
django-migration-linter; a lock that building an index takes is no fault on tables of a clinic's size.
"""

import psycopg.sql
import pytest
from django.db import migrations, models
from django.db.backends.postgresql.base import DatabaseWrapper
from django.db.backends.postgresql.operations import DatabaseOperations
from django.db.migrations import RunPython
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState
from django.db.utils import ConnectionHandler
from django_migration_linter.sql_analyser import PostgresqlAnalyser
from django_migration_linter.sql_analyser.analyser import analyse_sql_statements

# The last migration of each package that every installation has; a release raises it.
RELEASED = {
    "clinic": "0008_being_set_up",
    "cases": "0002_display_key",
    "assessments": "0001_baseline",
    "rehab": "0002_refusal_letter",
}
# What a migration may do all the same, with the reason why no process of the release before minds.
ALLOWED: dict[tuple[str, str], dict[str, str]] = {}
NOWHERE = ConnectionHandler({"default": {"ENGINE": "django.db.backends.postgresql"}})


class Written(DatabaseOperations):
    def compose_sql(self, sql, params):
        return sql % tuple(psycopg.sql.quote(value) for value in params or ())


class Nowhere(DatabaseWrapper):
    """PostgreSQL as far as its SQL is written; nobody asks it anything."""

    ops_class = Written

    def ensure_connection(self):
        raise AssertionError("the linter reads SQL and has no database")


def sql_of(migration: migrations.Migration, before: ProjectState) -> list[str]:
    database = Nowhere(NOWHERE.settings["default"])
    with database.schema_editor(collect_sql=True, atomic=False) as editor:
        migration.apply(before, editor, collect_sql=True)
    return editor.collected_sql


def faults(migration: migrations.Migration, before: ProjectState) -> set[str]:
    """What a process of the release before would not survive, by the linter's names."""
    found, _ignored, _warnings = analyse_sql_statements(
        PostgresqlAnalyser, sql_of(migration, before)
    )
    moves_data = [isinstance(one, RunPython) for one in migration.operations]
    mixed = {"SCHEMA_AND_DATA"} if any(moves_data) and not all(moves_data) else set()
    return {issue.code for issue in found} | mixed


@pytest.fixture(scope="module")
def loader():
    return MigrationLoader(None)


def to_come(loader) -> list[tuple[str, str]]:
    graph, released = loader.graph, set()
    for known in RELEASED.items():
        released |= set(graph.forwards_plan(known))
    ours = [node for node in graph.nodes if node[0] in RELEASED]
    return sorted(set(ours) - released)


def test_no_migration_to_come_breaks_the_release_that_still_runs(loader):
    broken = {
        name: sorted(found - ALLOWED.get(name, {}).keys())
        for name in to_come(loader)
        if (found := faults(loader.get_migration(*name), loader.project_state(name, at_end=False)))
    }

    assert {name: found for name, found in broken.items() if found} == {}


def test_what_is_allowed_is_still_to_come(loader):
    assert ALLOWED.keys() <= set(to_come(loader))


def nothing(apps, schema_editor):
    """Moves no data."""


TEXT = models.TextField(default="")
FAULTS = [
    (migrations.RemoveField("contact", "note"), {"DROP_COLUMN"}),
    (migrations.RenameField("contact", "note", "said"), {"RENAME_COLUMN"}),
    (migrations.DeleteModel("Contact"), {"DROP_TABLE"}),
    (migrations.RenameModel("Contact", "Call"), {"RENAME_TABLE"}),
    # Django takes its own default away again: who doesn't know the column could add no row.
    (migrations.AddField("contact", "mood", TEXT), {"NOT_NULL"}),
    (migrations.AlterField("contact", "at", models.TextField()), {"ALTER_COLUMN"}),
    (
        migrations.AddConstraint(
            "contact", models.UniqueConstraint(name="one_a_case", fields=["case"])
        ),
        {"ADD_UNIQUE"},
    ),
]
SOUND = [
    migrations.AddField("contact", "mood", models.TextField(null=True)),
    migrations.AddField("contact", "mood", models.TextField(db_default="")),
    migrations.CreateModel("Mood", [("id", models.BigAutoField(primary_key=True)), ("of", TEXT)]),
    RunPython(nothing, nothing),
]


def planted(*operations: Operation) -> migrations.Migration:
    migration = migrations.Migration("planted", "cases")
    migration.operations = list(operations)
    return migration


@pytest.mark.parametrize(("operation", "expected"), FAULTS)
def test_what_would_break_it_is_found(loader, operation, expected):
    now = loader.project_state(list(RELEASED.items()))

    assert faults(planted(operation), now) == expected


@pytest.mark.parametrize("operation", SOUND)
def test_what_old_processes_do_not_notice_passes(loader, operation):
    now = loader.project_state(list(RELEASED.items()))

    assert faults(planted(operation), now) == set()


def test_schema_and_data_in_one_migration_is_found(loader):
    now = loader.project_state(list(RELEASED.items()))
    both = planted(SOUND[0], RunPython(nothing, nothing))

    assert faults(both, now) == {"SCHEMA_AND_DATA"}
