"""Processes that start on the same database at the same time, and work on it together."""

import os
import sqlite3
import subprocess
import sys
import threading

import pytest

from cases.models import Contact
from tests.operations.server import ROOT, session_of
from tests.operations.whole import assert_whole

CALLS = 40


def migrate(url: str) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "manage.py", "migrate", "--verbosity", "0"],
        cwd=ROOT,
        env=os.environ | {"DEBUG": "1", "DATABASE_URL": url},
        stderr=subprocess.PIPE,
        text=True,
    )


def test_two_processes_that_migrate_a_fresh_database_at_once_do_it_once(tmp_path):
    url = f"sqlite:///{tmp_path}/fresh.sqlite3"

    both = [migrate(url) for _number in range(2)]

    assert [one.communicate(timeout=300)[1] for one in both] == ["", ""]
    assert [one.returncode for one in both] == [0, 0]
    fresh = sqlite3.connect(tmp_path / "fresh.sqlite3")
    applied = fresh.execute("SELECT app, name FROM django_migrations").fetchall()
    assert len(applied) == len(set(applied)) > 50
    assert fresh.execute("PRAGMA journal_mode").fetchall() == [("wal",)]


@pytest.mark.django_db(transaction=True)
def test_two_servers_on_one_database_save_side_by_side(serve, physiotherapist, case, visit):
    session, refused = session_of(physiotherapist), []

    def call(server, name):
        for number in range(CALLS):
            values = {"outcome": "reached", "note": f"{name} {number}"}
            answer = server.visitor(session).post(f"/cases/{case.pk}/calls/", values)
            if answer.status != 302:
                refused.append(answer.status)

    with serve(workers=1) as one, serve(workers=1) as other:
        desks = [
            threading.Thread(target=call, args=(server, name))
            for server, name in ((one, "one"), (other, "other"))
        ]
        for desk in desks:
            desk.start()
        for desk in desks:
            desk.join()

    assert refused == []
    assert set(Contact.objects.of_case(case).values_list("note", flat=True)) == {
        f"{name} {number}" for name in ("one", "other") for number in range(CALLS)
    }
    assert_whole()
