"""SQLite's file is looked at before each request.

A process goes on writing into a file that was moved away or replaced, and what it acknowledges then is lost;
where no file is, SQLite makes an empty one. So a connection to another file than the one in place is closed,
and without a file `clinic.middleware.DatabaseThere` answers.
"""

import os

from django.core.signals import request_started
from django.db import connection
from django.db.backends.signals import connection_created


def file_in_place() -> tuple[int, int] | None:
    """Which file lies where the settings say; None when there is none."""
    try:
        found = os.stat(connection.settings_dict["NAME"])
    except OSError:
        return None
    return found.st_dev, found.st_ino


def remember(connection, **kwargs) -> None:
    if is_in_a_file(connection):
        connection.opened_file = file_in_place()


def leave_moved_file(**kwargs) -> None:
    opened = getattr(connection, "opened_file", None)
    if opened and opened != file_in_place() and not connection.in_atomic_block:
        connection.close()


def is_in_a_file(connection) -> bool:
    return connection.vendor == "sqlite" and not connection.is_in_memory_db()


connection_created.connect(remember)
request_started.connect(leave_moved_file)
