"""Whether the site can do its work, for a probe: three words and no data."""

import functools
import os
import shutil
import tempfile

from django.db import connection, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clinic.access import open_to_all
from clinic.trouble import trouble_of

LEAST_FREE = 200_000_000  # bytes; our own setting, no source: some days of a busy clinic's records
OK = "ok"


@open_to_all
@never_cache
@require_safe
def health(request: HttpRequest) -> JsonResponse:
    found = {"database": _database(), "disk": _disk()}
    found["migrations"] = _migrations() if found["database"] == OK else "unknown"
    well = all(word == OK for word in found.values())
    return JsonResponse(found, status=200 if well else 503)


def _database() -> str:
    """Whether it can be written to: on SQLite a transaction takes the write lock, and gives it back."""
    try:
        with transaction.atomic():
            return "read-only" if _refuses_writing() else OK
    except Exception as error:
        if trouble := trouble_of(error):
            return trouble.code
        raise


def _refuses_writing() -> bool:
    if connection.vendor != "postgresql":
        return False
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_setting('transaction_read_only') = 'on'")
        return cursor.fetchone()[0]


def _migrations() -> str:
    applied = MigrationRecorder(connection).applied_migrations()
    return OK if _written_migrations() <= set(applied) else "missing"


@functools.cache
def _written_migrations() -> frozenset[tuple[str, str]]:
    """Those of the code, read once: they can't change while the process runs."""
    loader = MigrationLoader(None, ignore_no_migrations=True)
    return frozenset(loader.disk_migrations)


def _disk() -> str:
    """The disk of SQLite's file; with PostgreSQL elsewhere, the one that sheets are put together on."""
    own = connection.vendor == "sqlite" and not connection.is_in_memory_db()
    folder = os.path.dirname(connection.settings_dict["NAME"]) if own else tempfile.gettempdir()
    try:
        return OK if shutil.disk_usage(folder).free >= LEAST_FREE else "full"
    except OSError:
        return "missing"
