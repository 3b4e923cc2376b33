"""How many rows SQLite believes its tables to have: it looks when it is told, PostgreSQL does by itself."""

from django.db import connection

# SQLite's own advice, sqlite.org/lang_analyze.html 4: enough, and soon done.
ROWS_OF_EACH_INDEX = 400


def look_again() -> None:
    """Let SQLite choose its indexes by what the tables hold now; without it, it guesses."""
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA analysis_limit={ROWS_OF_EACH_INDEX}")
        cursor.execute("ANALYZE")
