"""A case at work, whoever writes into it, and a real server over the database of the test."""

import pytest
from django.utils import timezone

from tests.factories.cases import create_case, create_visit
from tests.operations.server import database_url, running, session_of


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist, opened=timezone.localdate())


@pytest.fixture
def visit(case):
    return create_visit(case=case)


@pytest.fixture
def session(physiotherapist, case, visit):
    return session_of(physiotherapist)


@pytest.fixture
def serve(tmp_path):
    """Return a function that runs a server over the database of the test, or over another."""

    def run(url: str = "", **how):
        return running(url or database_url(), tmp_path, **how)

    return run
