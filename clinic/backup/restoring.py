"""A backup put back: tried out first, then it takes the place of what was there, which is kept aside."""

import datetime
from dataclasses import dataclass
from pathlib import Path

from django.db.migrations.loader import MigrationLoader

from clinic.backup import archive
from clinic.backup.folder import STAMP
from clinic.backup.making import check
from clinic.backup.manifest import Manifest
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused, in_words, need_file
from clinic.backup.work import work_folder


@dataclass(frozen=True, kw_only=True)
class Restored:
    manifest: Manifest
    kept: str  # where the database that was there is now; "" where there was none


def restore(
    engine, path: Path, key: bytes | None, *, replace: bool, now, say: Progress
) -> Restored:
    """Put a backup in the place of the database. Until it has come back whole, nothing is touched."""
    need_file(path, "backup")
    with in_words("The backup can't be restored"), archive.opened(path, key) as backup:
        refuse_strangers(backup.manifest, engine)
        refuse_to_overwrite(engine, replace=replace)
        with work_folder(engine.work_parent) as work:
            say.step("Reading the backup …")
            with engine.tried(backup.content(say), work, say) as tried:
                say.step("Checking what came back …")
                check(backup.manifest, tried.content())
                kept = tried.take_place(aside=aside(now))
    return Restored(manifest=backup.manifest, kept=kept)


def aside(now: datetime.datetime) -> str:
    return f"before-{now.astimezone(datetime.UTC):{STAMP}}"


def refuse_strangers(manifest: Manifest, engine) -> None:
    """Raise Refused for a backup of another kind of database, or of a newer program."""
    if manifest.engine != engine.engine:
        raise Refused(
            f"This backup is of {manifest.engine}, but DATABASE_URL names {engine.engine}."
        )
    if newer := sorted(set(manifest.content.migrations) - known_migrations()):
        app, name = newer[0]
        raise Refused(
            f"A newer version of this software wrote this backup ({app} {name}); update the software first."
        )


def known_migrations() -> set[tuple[str, str]]:
    """Every migration of this software, those that were drawn together included."""
    disk = MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    return set(disk) | {one for migration in disk.values() for one in migration.replaces}


def refuse_to_overwrite(engine, *, replace: bool) -> None:
    if replace or engine.is_free():
        return
    raise Refused(
        "The database holds data, or can't be read. With --replace the backup takes its place; "
        "what is there now is kept aside."
    )
