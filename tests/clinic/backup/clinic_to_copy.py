"""A clinic with something in every corner, an export to compare it by, and ways to lose it."""

import base64
import hashlib
import io
import json
import os
import tarfile
from pathlib import Path

from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from clinic.audit import record
from clinic.backup.engines import engine_of
from clinic.backup.progress import Progress
from clinic.backup.restoring import restore
from clinic.models import Logo
from rehab.models import Handout
from tests.factories.cases import create_signed_visit
from tests.factories.rehab import create_issued

KEY = "5a" * 32


def furnish() -> None:
    """A patient with a signed visit, a program that was issued, a sheet that was handed out, a logo."""
    program = create_issued(case=create_signed_visit(plan="Ωμέγα 王 – 12 kg").case)
    lead = program.case.lead
    Handout.objects.keep(
        bytes(range(256)) * 4,
        kind=Handout.Kind.HOME_PROGRAM,
        about=program,
        language="en",
        name="home-program.pdf",
        by=lead,
    )
    Logo.objects.put(lead.clinic, bytes(range(256)) * 40)
    record(lead, "printed", program)


def export() -> list[str]:
    """Every row of every table as a line of JSON, in an order that only its values decide."""
    lines = []
    with connection.cursor() as cursor:
        for table in sorted(connection.introspection.table_names(cursor)):
            cursor.execute(f'SELECT * FROM "{table}"')
            names = [
                column.name if hasattr(column, "name") else column[0]
                for column in cursor.description
            ]
            rows = (dict(zip(names, row, strict=True)) for row in cursor)
            lines += sorted(
                json.dumps([table, row], default=_plain, sort_keys=True) for row in rows
            )
    return lines


def _plain(value) -> str:
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(value).decode()
    return str(value)


def sha256(lines: list[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def run(command: str, *args, **options) -> str:
    """Run one of our commands as a person would, and return what it said."""
    connection.close()
    out = io.StringIO()
    call_command(command, *args, stdout=out, **options)
    return out.getvalue()


def backup(folder: Path, **options) -> Path:
    """Make a backup and return its path."""
    run("backup", folder, **options)
    return max(folder.glob("clinic-*"))


def put_back(path: Path, key: bytes | None = None) -> None:
    """Restore as the command does, without the line in the trail that says so."""
    connection.close()
    engine, now = engine_of(connection.settings_dict), timezone.now()
    restore(engine, path, key, replace=True, now=now, say=Progress.silent())


def manifest_of(path: Path) -> dict:
    """Read a plain backup with nothing but the standard library."""
    with tarfile.open(path) as tar:
        assert tar.getnames() == ["manifest.json", "content"]
        return json.load(tar.extractfile("manifest.json"))


def address() -> str:
    """DATABASE_URL of the database that the tests write to, for a process of its own."""
    if connection.vendor == "sqlite":
        return f"sqlite:///{connection.settings_dict['NAME']}"
    return os.environ["DATABASE_URL"].replace("/postgres?", f"/{connection.settings_dict['NAME']}?")
