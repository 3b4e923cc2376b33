"""What can be wrong with the database or the disk while neither the person nor the program is at fault.

Result codes: "Result and Error Codes" at sqlite.org, and appendix A of PostgreSQL's manual, "Error Codes".
"""

import errno
from collections.abc import Iterator
from dataclasses import dataclass

from clinic.wording import gettext_noop as _

ASK = _("Tell whoever looks after the server.")


@dataclass(frozen=True, kw_only=True)
class Trouble:
    """One way of not being able to save: what a person reads about it, and when trying again makes sense."""

    code: str
    sentence: str
    advice: str
    retry_s: int


BUSY = Trouble(
    code="busy",
    sentence=_("So much is being saved at once that this waited too long for its turn."),
    advice=_("Try again in a few seconds."),
    retry_s=5,
)
FULL = Trouble(
    code="full",
    sentence=_("The server's disk is full or failing, so nothing can be saved."),
    advice=ASK,
    retry_s=60,
)
READ_ONLY = Trouble(
    code="read-only",
    sentence=_("The database can be read just now, but nothing can be saved in it."),
    advice=ASK,
    retry_s=60,
)
MISSING = Trouble(
    code="missing",
    sentence=_(
        "The database is not where it should be or can't be opened, so nothing can be shown or saved."
    ),
    advice=ASK,
    retry_s=60,
)
GONE = Trouble(
    code="gone",
    sentence=_("The database doesn't answer. It may be starting again."),
    advice=_("Try again in a few seconds. Tell whoever looks after the server if it lasts."),
    retry_s=10,
)
DAMAGED = Trouble(
    code="damaged",
    sentence=_("The file of the database is damaged."),
    advice=_("Stop working in it, and tell whoever looks after the server at once."),
    retry_s=300,
)

# Beginnings of SQLite's names; the first that fits counts.
SQLITE = {
    "SQLITE_BUSY": BUSY,
    "SQLITE_LOCKED": BUSY,
    "SQLITE_FULL": FULL,
    "SQLITE_IOERR": FULL,
    "SQLITE_READONLY_DBMOVED": MISSING,
    "SQLITE_READONLY": READ_ONLY,
    "SQLITE_CANTOPEN": MISSING,
    "SQLITE_CORRUPT": DAMAGED,
    "SQLITE_NOTADB": DAMAGED,
}
# Beginnings of SQLSTATE; the first that fits counts.
POSTGRES = {
    "08": GONE,  # connection exception
    "25006": READ_ONLY,  # read_only_sql_transaction
    "3D000": MISSING,  # invalid_catalog_name
    "40001": BUSY,  # serialization_failure
    "40P01": BUSY,  # deadlock_detected
    "42P01": MISSING,  # undefined_table: nobody has run the migrations
    "53100": FULL,  # disk_full
    "53": BUSY,  # insufficient resources: memory, connections
    "55P03": BUSY,  # lock_not_available
    "57014": BUSY,  # query_canceled, by a time limit
    "57P": GONE,  # operator intervention: shut down, crashed, starting
    "58030": FULL,  # io_error
    "XX001": DAMAGED,  # data_corrupted
    "XX002": DAMAGED,  # index_corrupted
}
SYSTEM = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EFBIG: FULL,
    errno.EIO: FULL,
    errno.EROFS: READ_ONLY,
}


def chain(error: BaseException | None) -> Iterator[BaseException]:
    """Yield the error and what it came from, the latest first."""
    seen: set[int] = set()
    while error is not None and id(error) not in seen:
        seen.add(id(error))
        yield error
        error = error.__cause__ or error.__context__


def code_of(error: BaseException) -> str:
    """Return the name or number that SQLite, PostgreSQL or the system gives an error; "" without one."""
    system = errno.errorcode.get(error.errno or 0, "") if isinstance(error, OSError) else ""
    return getattr(error, "sqlite_errorname", "") or getattr(error, "sqlstate", "") or system


def trouble_of(error: BaseException | None) -> Trouble | None:
    """Return what is wrong around the program, or None when the error is its own."""
    return next(filter(None, map(_trouble, chain(error))), None)


def _trouble(error: BaseException) -> Trouble | None:
    if isinstance(error, OSError):
        return SYSTEM.get(error.errno or 0)
    if name := getattr(error, "sqlite_errorname", ""):
        return _first(SQLITE, name) or (MISSING if _no_table(error) else None)
    if type(error).__module__.partition(".")[0] in ("psycopg", "psycopg_pool"):
        return _of_postgres(error)
    return None


def _of_postgres(error: BaseException) -> Trouble | None:
    if state := getattr(error, "sqlstate", None):
        return _first(POSTGRES, state)
    # A connection that breaks, is refused, or that the pool waited for in vain has no state.
    gone = ("OperationalError", "InterfaceError", "PoolTimeout")
    return GONE if type(error).__name__ in gone else None


def _first(table: dict[str, Trouble], name: str) -> Trouble | None:
    return next((trouble for start, trouble in table.items() if name.startswith(start)), None)


def _no_table(error: BaseException) -> bool:
    return str(error).startswith("no such table")
