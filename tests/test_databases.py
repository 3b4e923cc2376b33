"""The suite really runs on the database that it says it runs on."""

import os

from django.db import connection


def test_each_worker_tests_on_the_database_it_was_given(db):
    asked = {"sqlite": "sqlite", "postgres": "postgresql"}[os.environ["TEST_DATABASE"]]

    assert connection.vendor == asked
