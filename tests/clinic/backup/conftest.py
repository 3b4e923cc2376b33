"""A database that may be lost, and the programs that the copies of it need."""

import os

import pytest

from tests.clinic.backup.clinic_to_copy import KEY, furnish
from tests.postgres import find_programs


@pytest.fixture(autouse=True)
def programs_of_the_server(monkeypatch):
    """pg_dump beside the server of the tests comes first on the PATH."""
    monkeypatch.setenv("PATH", f"{find_programs()}{os.pathsep}{os.environ['PATH']}")


@pytest.fixture
def furnished(transactional_db):
    furnish()


@pytest.fixture
def key_file(tmp_path):
    folder = tmp_path / "keys"
    folder.mkdir()
    file = folder / "backup.key"
    file.write_text(KEY)
    file.chmod(0o600)
    return file
