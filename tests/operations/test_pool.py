"""Threads of one process at work: on PostgreSQL also where they share fewer connections than they are."""

import os
import threading

import pytest
from django.db import connection, connections
from django.db.backends.postgresql.base import DatabaseWrapper

from cases.models import Contact
from clinic.acting import acting
from clinic.models import AuditEvent, Change
from tests.factories.cases import create_case
from tests.factories.clinic import create_physiotherapist
from tests.operations.server import session_of
from tests.operations.whole import assert_whole

pytestmark = pytest.mark.django_db(transaction=True)

ACTOR = {
    "sqlite": "SELECT clinic_actor()",
    "postgresql": "SELECT nullif(current_setting('clinic.acting', true), '')",
}
SHARED = {"sqlite": ["0"], "postgres": ["0", "2"]}[os.environ["TEST_DATABASE"]]
PEOPLE, CALLS = 6, 15


def open_connections() -> int:
    """How many others the server has open."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return cursor.fetchone()[0]


@pytest.fixture
def one_connection():
    """On PostgreSQL all that this test asks goes through a pool of one."""
    if connection.vendor != "postgresql":
        yield connection
        return
    own, told = connections["default"], connection.settings_dict
    options = told["OPTIONS"] | {"pool": {"min_size": 1, "max_size": 1}}
    connections["default"] = DatabaseWrapper(
        told | {"CONN_MAX_AGE": 0, "OPTIONS": options}, alias="default"
    )
    yield connection
    connection.close()
    connection.close_pool()
    connections["default"] = own


def test_who_was_at_work_does_not_reach_the_next_who_borrows_it(one_connection, case):
    def borrowed(*asked) -> list:
        with connection.cursor() as cursor:
            return [cursor.execute(sql) and cursor.fetchone()[0] for sql in asked]

    same = "SELECT pg_backend_pid()" if connection.vendor == "postgresql" else "SELECT 1"
    with acting(case.lead_id):
        Contact.objects.create(case=case, outcome="reached", by=case.lead)
        (first,) = borrowed(same)
    connection.close()

    assert borrowed(same, ACTOR[connection.vendor]) == [first, None]
    assert [change.actor_id for change in Change.objects.filter(table_name="cases_contact")] == [
        case.lead_id
    ]


@pytest.mark.parametrize("shared", SHARED)
def test_what_each_writes_is_written_down_as_theirs(serve, physiotherapist, shared):
    """Who is at work is a setting of the connection: it must not reach the next who borrows it."""
    people = [create_physiotherapist(clinic=physiotherapist.clinic) for _one in range(PEOPLE)]
    cases = [create_case(lead=one) for one in people]
    sessions, refused = [session_of(one) for one in people], []

    def work(server, session, case):
        visitor = server.visitor(session)
        for number in range(CALLS):
            note = {"outcome": "reached", "note": str(number)}
            answers = visitor.post(f"/cases/{case.pk}/calls/", note), visitor.get("/due/")
            refused.extend(one.status for one in answers if one.status not in (200, 302))

    with serve(workers=1, threads=PEOPLE, variables={"DATABASE_POOL": shared}) as server:
        threads = [
            threading.Thread(target=work, args=(server, session, case))
            for session, case in zip(sessions, cases, strict=True)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        if connection.vendor == "postgresql":
            assert open_connections() <= (int(shared) or PEOPLE)

    assert refused == []
    for one, case in zip(people, cases, strict=True):
        calls = Contact.objects.of_case(case).values_list("pk", flat=True)
        changes = Change.objects.filter(table_name="cases_contact", row_id__in=calls)
        assert [change.actor_id for change in changes] == [one.pk] * CALLS
        assert AuditEvent.objects.filter(verb="called", actor=one).count() == CALLS
    assert_whole()
