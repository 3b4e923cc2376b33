"""What every test may use: people of one clinic, signed-in clients, and a database that can be emptied."""

import os

import hypothesis
import pytest
from django.conf import settings
from django.core.management import BaseCommand
from django.db import connection
from django.utils import timezone
from zeal.constants import initialize_app_registry
from zeal.patch import patch

from tests import mail_server as mail
from tests.factories import clinic as made
from tests.factories.cases import create_case
from tests.triggers import without_triggers


def pytest_configure():
    # Tests sign in hundreds of times; the real hasher's cost is checked in a test of its own.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.MIDDLEWARE = [*settings.MIDDLEWARE, "zeal.middleware.zeal_middleware"]
    # The same row asked for twice by two parts of a page is no query for each row; three times may be.
    settings.ZEAL_NPLUSONE_THRESHOLD = 3
    # How long an example takes says how busy the machine is.
    hypothesis.settings.register_profile("untimed", deadline=None)
    hypothesis.settings.load_profile("untimed")
    # A pack keeps its handful of sheets one by one; there are no more of them with more patients.
    settings.ZEAL_ALLOWLIST = [{"model": "rehab.HandoutFile", "field": "get()"}]
    if connection.vendor == "sqlite":
        # A file, not memory: races are run by real processes, which must see the same rows.
        connection.settings_dict["TEST"]["NAME"] = f"{connection.settings_dict['NAME']}-test"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """Where CI runs, a test that can't run has failed."""
    report = yield
    if report.skipped and os.environ.get("CI"):
        report.outcome, report.longrepr = "failed", f"skipped where CI runs: {report.longrepr}"
    return report


@pytest.fixture(autouse=True, scope="session")
def queries_do_not_repeat_per_row():
    """A page that asks the database once a row fails its test: zeal looks at each request."""
    initialize_app_registry()
    patch()


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """As pytest-django's; at the end nobody else may be connected, or PostgreSQL keeps the database.

    A download by Playwright keeps its connection to the test server open, and so its thread's session.
    """
    yield
    if connection.vendor == "postgresql":
        connection.close()  # a test that stops the server, or puts a backup back, has ended it unseen
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


@pytest.fixture(autouse=True, scope="session")
def seals_open_for_emptying():
    """Let Django empty the tables between transactional tests: sealed rows refuse it otherwise."""
    empty = type(connection.ops).execute_sql_flush

    def without_seals(ops, statements):
        with without_triggers(ops.connection):
            empty(ops, statements)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(connection.ops), "execute_sql_flush", without_seals)
        yield


@pytest.fixture(autouse=True)
def clinics_own_time(monkeypatch, request):
    """Today is the day of the clinics that factories make, as in a request: in summer it begins before UTC's.

    Commands begin in UTC, as they do where they run; so does a test that is `outside_a_request`.
    """
    if "outside_a_request" in request.fixturenames:
        yield
        return
    execute = BaseCommand.execute

    def in_utc(command, *args, **options):
        with timezone.override(None):
            return execute(command, *args, **options)

    monkeypatch.setattr(BaseCommand, "execute", in_utc)
    with timezone.override(made.TIME_ZONE):
        yield


@pytest.fixture
def outside_a_request():
    """What runs in no request finds the clinic's time by itself."""


@pytest.fixture
def physiotherapist(db):
    return made.create_physiotherapist()


@pytest.fixture
def front_desk(physiotherapist):
    return made.create_front_desk(clinic=physiotherapist.clinic)


@pytest.fixture
def manager(physiotherapist):
    return made.create_manager(clinic=physiotherapist.clinic)


@pytest.fixture
def signed_in(client):
    """Return a function that signs a person in and gives the client."""

    def sign_in(staff):
        client.force_login(staff)
        return client

    return sign_in


@pytest.fixture
def browser(signed_in, physiotherapist):
    return signed_in(physiotherapist)


@pytest.fixture
def case(physiotherapist):
    return create_case(lead=physiotherapist)


@pytest.fixture
def mail_server(settings):
    """A mail server on this machine, through which Django sends; what arrives is in its `messages`."""
    with mail.mail_server() as (port, postbox):
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
        settings.EMAIL_USE_TLS = False
        yield postbox
