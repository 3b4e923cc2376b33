"""Who is at work, and in which request: what the database writes beside each change (`clinic.journal`).

On SQLite the triggers ask functions of the connection. On PostgreSQL they read a setting that lasts until the
transaction ends and is made when the first thing is written in it, so that it can't reach another request
over a connection that is kept, or shared by a pool.
"""

import contextlib
from collections.abc import Iterator
from contextvars import ContextVar
from dataclasses import dataclass, field

from django.db import connection, transaction

from clinic.reference import new_reference

LEAVES_NO_CHANGE = (
    "SELECT",
    "SAVEPOINT",
    "RELEASE",
    "ROLLBACK",
    'INSERT INTO "clinic_auditevent"',  # names its own actor, on every page that is read
    'INSERT INTO "clinic_opensession"',
    'UPDATE "clinic_opensession"',
)
SET = "SELECT set_config('clinic.acting', %s, true)"


@dataclass(frozen=True, slots=True)
class Acting:
    """A person at work; nobody is a command, or somebody who isn't signed in yet."""

    person: int | None = None
    request: str = field(default_factory=new_reference)

    @property
    def written(self) -> str:
        return f"{self.person or ''}/{self.request}"


NOBODY = Acting(request="")
_now: ContextVar[Acting] = ContextVar("acting", default=NOBODY)


def who() -> Acting:
    return _now.get()


@contextlib.contextmanager
def acting(person: int | None, request: str = "") -> Iterator[Acting]:
    """Whatever is written inside is written down as done by `person`, in the request of this number."""
    now = Acting(person, request or new_reference())
    before = _now.set(now)
    try:
        if connection.vendor == "postgresql":
            with connection.execute_wrapper(_told_before_writing):
                yield now
            _forget(now)
        else:
            yield now
    finally:
        _now.reset(before)


def _told_before_writing(execute, sql, params, many, context):
    """Run a statement; if it may leave a change, let the transaction know whose."""
    if str(sql).lstrip().startswith(LEAVES_NO_CHANGE):
        return execute(sql, params, many, context)
    if context["connection"].in_atomic_block:
        _tell(who())
        return execute(sql, params, many, context)
    with transaction.atomic():  # the setting needs a transaction to last for
        _tell(who())
        return execute(sql, params, many, context)


def _tell(now: Acting) -> None:
    """Make the setting, once for a transaction.

    Django begins a new list of what to do on commit whenever a transaction or a savepoint ends that could
    have taken the setting with it.
    """
    since, told = getattr(connection, "clinic_acting", (None, None))
    if since is connection.run_on_commit and told == now.written:
        return
    # Past Django's cursor: what a page asks is counted without it.
    with connection.wrap_database_errors:
        connection.connection.execute(SET, [now.written])
    connection.clinic_acting = (connection.run_on_commit, now.written)


def _forget(gone: Acting) -> None:
    """Inside a transaction that goes on, as in tests, what comes next is not this person's."""
    _since, told = getattr(connection, "clinic_acting", (None, None))
    if connection.in_atomic_block and not connection.needs_rollback and told == gone.written:
        _tell(NOBODY)


def give_functions(sender=None, *, connection, **kwargs) -> None:
    """Let SQLite's triggers ask who is at work."""
    if connection.vendor == "sqlite":
        connection.connection.create_function("clinic_actor", 0, lambda: who().person)
        connection.connection.create_function("clinic_request", 0, lambda: who().request)
