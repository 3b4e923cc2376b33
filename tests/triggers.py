"""A database without its triggers for a while: no seal refuses, no journal writes, nothing is counted."""

import contextlib


@contextlib.contextmanager
def without_triggers(connection):
    """Take the triggers away, and put back the same ones."""
    switch = _on_postgresql if connection.vendor == "postgresql" else _on_sqlite
    with connection.cursor() as cursor, switch(cursor):
        yield


@contextlib.contextmanager
def _on_postgresql(cursor):
    """Those of this connection alone, foreign keys too."""
    cursor.execute("SET session_replication_role = replica")
    yield
    cursor.execute("SET session_replication_role = DEFAULT")


@contextlib.contextmanager
def _on_sqlite(cursor):
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    triggers = cursor.fetchall()
    for name, _sql in triggers:
        cursor.execute(f'DROP TRIGGER "{name}"')
    yield
    for _name, sql in triggers:
        cursor.execute(sql)
