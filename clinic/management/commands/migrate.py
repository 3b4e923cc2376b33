"""Django's migrate, one at a time: two processes that start together would both create the same tables."""

import contextlib
import fcntl
from pathlib import Path

from django.core.management.commands import migrate
from django.db import connections

from clinic.database_file import is_in_a_file

# Any number that nothing else in the database locks.
NUMBER = 7_041_982


class Command(migrate.Command):
    def handle(self, *args, **options):
        with alone(connections[options["database"]]):
            super().handle(*args, **options)


@contextlib.contextmanager
def alone(connection):
    """Wait until no other process migrates this database."""
    if is_in_a_file(connection):
        with Path(f"{connection.settings_dict['NAME']}.migrating").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            yield
    elif connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            # The wait for somebody else's whole run is meant; the limit is for single rows.
            cursor.execute("SET lock_timeout = 0")
            cursor.execute("SELECT pg_advisory_lock(%s)", [NUMBER])
            try:
                yield
            finally:
                cursor.execute("SELECT pg_advisory_unlock(%s)", [NUMBER])
    else:
        yield
