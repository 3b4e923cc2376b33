"""Troubles of a database, each made from outside while a server works on it, and taken away again."""

import contextlib
import ctypes
import os
import pathlib
import resource
import sqlite3
import stat

import psycopg
from django.db import connection

from tests import postgres
from tests.operations.server import Server

DROP_FROM_BOUNDS, OVERRIDE_MODES = 24, 1  # PR_CAPBSET_DROP and CAP_DAC_OVERRIDE of Linux
ROOM = 200_000  # bytes


def keep_to_modes() -> None:
    """Let the modes of files count for this process and what it starts, even as root."""
    if os.geteuid() == 0 and ctypes.CDLL(None).prctl(DROP_FROM_BOUNDS, OVERRIDE_MODES, 0, 0, 0):
        raise OSError("root could not be kept to the modes of files")


def file() -> pathlib.Path:
    return pathlib.Path(connection.settings_dict["NAME"])


@contextlib.contextmanager
def full(server: Server):
    """Files stop growing: the log that SQLite writes first can't take more."""
    wal = file().with_name(f"{file().name}-wal")
    # From an empty log on, whatever tests before have left in it.
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    everyone = server.everyone()
    for pid in everyone:
        most = (wal.stat().st_size + ROOM, resource.RLIM_INFINITY)
        resource.prlimit(pid, resource.RLIMIT_FSIZE, most)
    yield
    for pid in everyone:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)


@contextlib.contextmanager
def only_read(server: Server):
    server.kill()
    make, undo = {"sqlite": modes, "postgresql": default_of_database}[connection.vendor]()
    make()
    server.start()
    yield
    server.kill()
    undo()
    server.start()


def modes():
    def set_to(mode):
        for path in file().parent.glob(f"{file().name}*"):
            path.chmod(mode)

    return lambda: set_to(stat.S_IRUSR), lambda: set_to(stat.S_IRUSR | stat.S_IWUSR)


def default_of_database():
    def set_to(value):
        name = connection.ops.quote_name(connection.settings_dict["NAME"])
        with connection.cursor() as cursor:
            cursor.execute(f"ALTER DATABASE {name} SET default_transaction_read_only = {value}")

    return lambda: set_to("on"), lambda: set_to("off")


@contextlib.contextmanager
def locked(server: Server):
    """Somebody else writes and doesn't come to an end."""
    with {"sqlite": _lock_file, "postgresql": _lock_tables}[connection.vendor]():
        yield


@contextlib.contextmanager
def _lock_file():
    other = sqlite3.connect(file(), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield
    other.close()


@contextlib.contextmanager
def _lock_tables():
    told = connection.get_connection_params()
    with psycopg.connect(host=told["host"], dbname=told["dbname"], user=told["user"]) as other:
        tables = "cases_contact, cases_visit, clinic_auditevent"
        other.execute(f"LOCK TABLE {tables} IN EXCLUSIVE MODE")  # who only reads goes on
        yield
        other.rollback()


@contextlib.contextmanager
def missing(server: Server):
    away = file().with_name("away")
    file().rename(away)
    yield
    if file().exists():
        raise AssertionError("a file was made in place of the one that is missing")
    away.rename(file())


@contextlib.contextmanager
def stopped(server: Server):
    folder = connection.get_connection_params()["host"]
    connection.close()
    postgres.stop(folder)
    yield
    postgres.start(folder)
