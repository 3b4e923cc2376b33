"""/health: three words for a probe."""

import shutil
from collections import namedtuple

import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from clinic.views import health
from tests.factories.clinic import create_physiotherapist

pytestmark = pytest.mark.django_db
WELL = {"database": "ok", "disk": "ok", "migrations": "ok"}
Usage = namedtuple("Usage", ["total", "used", "free"])


def test_a_site_that_is_well_says_so_to_anybody(client):
    create_physiotherapist()

    answer = client.get("/health")

    assert (answer.status_code, answer.json()) == (200, WELL)
    assert "no-store" in answer["Cache-Control"]


def test_it_is_cheap(client, django_assert_max_num_queries):
    client.get("/health")

    with django_assert_max_num_queries(5):  # two of them a savepoint of the test's transaction
        client.get("/health")


def test_a_migration_that_was_not_run_makes_it_unwell(client):
    MigrationRecorder(connection).migration_qs.filter(app="rehab").latest("pk").delete()

    answer = client.get("/health")

    assert (answer.status_code, answer.json()) == (503, WELL | {"migrations": "missing"})


def test_a_disk_that_is_nearly_full_makes_it_unwell(client, monkeypatch):
    nearly = Usage(total=10**12, used=10**12, free=health.LEAST_FREE - 1)
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: nearly)

    answer = client.get("/health")

    assert (answer.status_code, answer.json()) == (503, WELL | {"disk": "full"})


READ_ONLY = {
    "sqlite": ("PRAGMA query_only = 1", "PRAGMA query_only = 0"),
    "postgresql": (
        "SET default_transaction_read_only = on",
        "SET default_transaction_read_only = off",
    ),
}


@pytest.fixture
def only_read(transactional_db):
    begin, end = READ_ONLY[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(begin)
        yield
        cursor.execute(end)


def test_a_database_that_can_only_be_read_makes_it_unwell(client, only_read):
    answer = client.get("/health")

    found = WELL | {"database": "read-only", "migrations": "unknown"}
    assert (answer.status_code, answer.json()) == (503, found)


def test_it_takes_no_form(client):
    assert client.post("/health").status_code == 405


def test_the_probe_is_not_sent_to_another_address(client, settings):
    settings.SECURE_SSL_REDIRECT = True

    assert client.get("/sign-in/").status_code == 301
    assert client.get("/health").status_code == 200
