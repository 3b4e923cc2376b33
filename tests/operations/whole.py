"""What must hold in a database whatever has happened to the server before it."""

from django.db import connection


def assert_whole() -> None:
    """Neither the file is damaged nor does a row refer to one that is not there."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            assert cursor.fetchall() == [("ok",)]
    connection.check_constraints()
