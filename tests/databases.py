"""Runs every test on SQLite and on PostgreSQL, in one `pytest` call.

pytest-xdist starts two workers and `--dist=each` sends each test to both: gw0 tests on SQLite, gw1 on a
throw-away PostgreSQL. `pytest --db sqlite` (or postgres) runs one alone in this process, for a debugger.
A test that asks for no database can't differ between the two: in the common run one of them runs it.
It must act before pytest-django loads the settings, hence the wrapper and `-p tests.databases`.
"""

import os
import tempfile

import pytest

from .postgres import throwaway_server

DATABASE_OF_WORKER = {"gw0": "sqlite", "gw1": "postgres"}


def pytest_addoption(parser):
    parser.addoption(
        "--db",
        choices=["sqlite", "postgres"],
        help="Test on this database alone, in one process.",
    )


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config):
    if config.getoption("--db"):
        config.option.dist, config.option.tx, config.option.numprocesses = "no", [], 0


@pytest.hookimpl(wrapper=True)
def pytest_load_initial_conftests(early_config, args):
    worker = os.environ.get("PYTEST_XDIST_WORKER")
    database = early_config.known_args_namespace.db or DATABASE_OF_WORKER.get(worker)
    os.environ["DEBUG"] = "1"
    os.environ["TEST_DATABASE"] = database or "none: the controller runs no test"
    if database == "sqlite":
        folder = tempfile.TemporaryDirectory(prefix="test-sqlite-")
        early_config.add_cleanup(folder.cleanup)
        os.environ["DATABASE_URL"] = f"sqlite:///{folder.name}/clinic.sqlite3"
    if database == "postgres":
        server = throwaway_server()
        os.environ["DATABASE_URL"] = server.__enter__()
        early_config.add_cleanup(lambda: server.__exit__(None, None, None))
    return (yield)


def pytest_collection_modifyitems(config, items):
    worker = os.environ.get("PYTEST_XDIST_WORKER")
    if worker not in DATABASE_OF_WORKER:
        return
    pure = [item for item in items if not asks_for_database(item)]
    # Every second test, so that both workers have the same to do.
    own = set(pure[list(DATABASE_OF_WORKER).index(worker) :: len(DATABASE_OF_WORKER)])
    others = [item for item in pure if item not in own]
    config.hook.pytest_deselected(items=others)
    items[:] = [item for item in items if item in own or asks_for_database(item)]


def asks_for_database(item) -> bool:
    fixtures = {"db", "transactional_db", "live_server"} & set(item.fixturenames)
    return bool(fixtures) or item.get_closest_marker("django_db") is not None
