"""Why a backup was not made or not put back, in words for the person at the command line."""

import contextlib
import errno
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import psycopg

FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
CLOSED = {errno.EACCES, errno.EPERM, errno.EROFS}

NO_ROOM = "the disk is full. Nothing half-written was left; make room and try again."


class Refused(Exception):
    """Nothing was kept or changed; the text says why and what to do."""


@contextlib.contextmanager
def in_words(doing: str) -> Iterator[None]:
    """Turn what the disk or a database says while `doing` into a sentence."""
    try:
        yield
    except OSError as error:
        raise Refused(f"{doing}: {_about_disk(error)}") from error
    except sqlite3.Error as error:
        raise Refused(f"{doing}: {_about_sqlite(error)}") from error
    except psycopg.Error as error:
        raise Refused(f"{doing}: {_about_postgresql(error)}") from error


def _about_disk(error: OSError) -> str:
    where = error.filename or "the folder"
    if error.errno in FULL:
        return NO_ROOM
    if error.errno in CLOSED:
        return f"{where} can't be read or written by this account."
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return f"{where} is not there."
    return f"{error.strerror or error}."


def _about_sqlite(error: sqlite3.Error) -> str:
    if "full" in str(error):
        return NO_ROOM
    if "locked" in str(error):
        return "the database is in use. Stop the web processes and try again."
    if isinstance(error, sqlite3.OperationalError) and "unable to open" in str(error):
        return "the database can't be opened."
    return f"the database is damaged ({error})."


def _about_postgresql(error: psycopg.Error) -> str:
    if isinstance(error, psycopg.errors.DiskFull):
        return NO_ROOM
    # The first line alone: those behind it quote the row.
    return f"the database server says: {str(error).strip().splitlines()[0]}"


def need_file(path: Path, what: str) -> None:
    if not path.is_file():
        raise Refused(f"There is no {what} at {path}.")
