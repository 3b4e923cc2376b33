"""Every night SQLite looks at what its tables hold; PostgreSQL does so by itself, and is not told to."""

import io

from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories.cases import create_patient


def test_the_nightly_command_lets_sqlite_choose_by_the_rows_that_there_are(physiotherapist):
    for _number in range(3):
        create_patient(clinic=physiotherapist.clinic)

    with CaptureQueriesContext(connection) as asked:
        call_command("tidy_accounts", stdout=io.StringIO())

    if connection.vendor == "sqlite":
        # Three rows; three for each clinic, and one for each clinic and name.
        assert _of_index("patient_by_name") == "3 3 1"
    else:
        assert not any("ANALYZE" in query["sql"] for query in asked)


def _of_index(name: str) -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT stat FROM sqlite_stat1 WHERE idx = %s", [name])
        return cursor.fetchone()[0]
