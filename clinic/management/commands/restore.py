"""`manage.py restore`: a backup takes the place of the database."""

from pathlib import Path

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils import timezone

from clinic.audit import record_unattended
from clinic.backup.cipher import read_key
from clinic.backup.engines import engine_of
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused
from clinic.backup.restoring import Restored, known_migrations, restore


class Command(BaseCommand):
    help = "Put the database back as it was when FILE was made. Stop the web processes first."

    def add_arguments(self, parser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--key-file", type=Path, help="the key that it was written with")
        parser.add_argument(
            "--replace",
            action="store_true",
            help="even where the database holds data, which is kept aside",
        )

    def handle(self, *, file: Path, key_file: Path | None, replace: bool, **options) -> None:
        say = Progress(self.stdout, quiet=options["verbosity"] == 0)
        connection.close()
        if connection.vendor == "postgresql":
            connection.close_pool()  # what it holds open would keep the database in its place
        try:
            key = read_key(key_file) if key_file else None
            engine = engine_of(connection.settings_dict)
            restored = restore(engine, file, key, replace=replace, now=timezone.now(), say=say)
        except Refused as refused:
            raise CommandError(f"Nothing was changed. {refused}") from refused
        say.step(said(restored))
        bring_up_to_date(restored, say)
        record_unattended("restored a backup", file=file.name, kept=restored.kept)


def said(restored: Restored) -> str:
    kept = f" What was there before is kept as {restored.kept}." if restored.kept else ""
    made_at = restored.manifest.made_at
    return f"The database is as it was on {made_at:%Y-%m-%d at %H:%M} UTC, every value.{kept}"


def bring_up_to_date(restored: Restored, say: Progress) -> None:
    """An older version of the program made the backup: migrate what was restored."""
    if set(restored.manifest.content.migrations) >= known_migrations():
        return
    say.step("An older version of this software wrote it; bringing it up to date …")
    call_command("migrate", verbosity=0)
