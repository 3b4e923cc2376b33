"""The disk is gone: the same on both databases."""

from pathlib import Path

from django.db import connection

from clinic.backup.engines import engine_of


def lose_everything() -> None:
    name = connection.settings_dict["NAME"]
    connection.close()
    if connection.vendor == "postgresql":
        with engine_of(connection.settings_dict).connected("postgres") as db:
            db.execute(f'DROP DATABASE "{name}" WITH (FORCE)')
        return
    for ending in ("", "-wal", "-shm"):
        Path(f"{name}{ending}").unlink(missing_ok=True)
