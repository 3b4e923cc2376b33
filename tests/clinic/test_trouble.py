"""What is wrong around the program, told from the codes of SQLite, PostgreSQL and the system."""

import errno
import sqlite3

import psycopg
import psycopg_pool
import pytest
from django.db import DatabaseError

from clinic.trouble import BUSY, FULL, GONE, POSTGRES, SQLITE, chain, code_of, trouble_of


def a_database(folder):
    connection = sqlite3.connect(folder / "one.sqlite3", timeout=0, isolation_level=None)
    connection.execute("CREATE TABLE IF NOT EXISTS note (text)")
    return connection


def written_while_locked(folder):
    first, second = a_database(folder), a_database(folder)
    first.execute("BEGIN IMMEDIATE")
    try:
        second.execute("INSERT INTO note VALUES ('x')")
    finally:
        first.close()


def more_than_fits(folder):
    connection = a_database(folder)
    connection.execute("PRAGMA max_page_count = 2")
    connection.execute("INSERT INTO note VALUES (zeroblob(100000))")


def only_to_be_read(folder):
    connection = a_database(folder)
    connection.execute("PRAGMA query_only = 1")
    connection.execute("INSERT INTO note VALUES ('x')")


def opened_nowhere(folder):
    sqlite3.connect(folder / "gone" / "one.sqlite3")


def opened_before_it_was_set_up(folder):
    a_database(folder).execute("SELECT * FROM django_session")


def no_database_at_all(folder):
    (folder / "one.sqlite3").write_bytes(b"A letter, and not a database. " * 100)
    a_database(folder)


@pytest.mark.parametrize(
    ("happens", "code"),
    [
        (written_while_locked, "busy"),
        (more_than_fits, "full"),
        (only_to_be_read, "read-only"),
        (opened_nowhere, "missing"),
        (opened_before_it_was_set_up, "missing"),
        (no_database_at_all, "damaged"),
    ],
)
def test_what_sqlite_says_is_understood(tmp_path, happens, code):
    with pytest.raises(sqlite3.Error) as raised:
        happens(tmp_path)

    assert trouble_of(raised.value).code == code


def test_an_error_of_the_program_is_no_trouble(tmp_path):
    with pytest.raises(sqlite3.OperationalError) as raised:
        a_database(tmp_path).execute("SELEKT")

    assert trouble_of(raised.value) is None
    assert trouble_of(ValueError("no space left on device")) is None


def test_the_names_of_codes_are_those_of_the_libraries():
    assert [name for name in SQLITE if not hasattr(sqlite3, name)] == []
    whole = [state for state in POSTGRES if len(state) == 5]
    assert len(whole) > 5
    assert [psycopg.errors.lookup(state) for state in whole]  # raises KeyError for one unknown


@pytest.mark.parametrize(
    ("error", "trouble"),
    [
        (psycopg.errors.DiskFull(), FULL),
        (psycopg.errors.AdminShutdown(), GONE),
        (psycopg.errors.TooManyConnections(), BUSY),
        (psycopg.OperationalError("connection refused"), GONE),
        (psycopg.InterfaceError("the connection is closed"), GONE),
        (psycopg_pool.PoolTimeout("no connection after 10 s"), GONE),
        (psycopg.errors.UniqueViolation(), None),
        (psycopg.DataError("wrong"), None),
        (OSError(errno.ENOSPC, "No space left on device"), FULL),
        (FileNotFoundError(errno.ENOENT, "No such file"), None),
    ],
)
def test_what_postgresql_and_the_system_say_is_understood(error, trouble):
    assert trouble_of(error) is trouble


def test_what_is_behind_an_error_counts():
    full = OSError(errno.ENOSPC, "No space left on device")
    middle = DatabaseError()
    middle.__cause__ = full
    outer = ValueError("The session was deleted.")
    outer.__context__ = middle
    full.__context__ = outer  # a circle ends

    assert list(chain(outer)) == [outer, middle, full]
    assert trouble_of(outer) is FULL
    assert code_of(full) == "ENOSPC"
