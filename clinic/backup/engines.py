"""Which database the settings name."""

from clinic.backup.on_postgresql import Postgres
from clinic.backup.on_sqlite import Sqlite
from clinic.backup.refusal import Refused

ENGINES = {
    "django.db.backends.sqlite3": Sqlite,
    "django.db.backends.postgresql": Postgres,
}


def engine_of(settings: dict):
    """Return the engine for one entry of DATABASES."""
    if settings["ENGINE"] not in ENGINES:
        raise Refused(f"There is no backup for {settings['ENGINE']}.")
    return ENGINES[settings["ENGINE"]](settings)
