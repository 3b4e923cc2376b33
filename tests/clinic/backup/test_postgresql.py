"""What is PostgreSQL's own: its programs, rights, and a database in use; on a server of these tests alone."""

import datetime
import secrets
import subprocess

import psycopg
import pytest

from clinic.backup import pg_programs
from clinic.backup.engines import engine_of
from clinic.backup.making import Order, make
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused
from clinic.backup.restoring import restore
from tests.postgres import throwaway_server

NOW = datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC)
QUIET = Progress.silent()


@pytest.fixture(scope="module")
def server():
    with throwaway_server() as url:
        yield url.partition("host=")[2]


@pytest.fixture
def own(server):
    """A small database with a name of its own: letters that servers sort in different orders, and bytes."""
    name = f"clinic_{secrets.token_hex(4)}"
    with connected(server, "postgres") as db:
        db.execute(f"CREATE DATABASE {name}")
    with connected(server, name) as db:
        db.execute("CREATE TABLE person (name text PRIMARY KEY, picture bytea)")
        db.execute("INSERT INTO person SELECT chr(64 + n) || 'é', decode('00ff', 'hex') "
                   "FROM generate_series(1, 60) AS n")  # fmt: skip
    return engine(server, name)


def connected(server, name, user="postgres"):
    return psycopg.connect(host=server, user=user, dbname=name, autocommit=True)


def engine(server, name, user="postgres", **settings):
    own = {"ENGINE": "django.db.backends.postgresql", "NAME": name, "USER": user, "HOST": server}
    return engine_of(own | settings)


def backed_up(of, folder, **options):
    order = Order(folder=folder, keep=9, **options)
    return make(of, order, now=NOW, say=QUIET).path


def restored(of, path):
    return restore(of, path, None, replace=True, now=NOW, say=QUIET)


def databases(server) -> list[str]:
    with connected(server, "postgres") as db:
        found = db.execute("SELECT datname FROM pg_database WHERE datname ~ '^clinic' ORDER BY 1")
        return [name for (name,) in found.fetchall()]


def names(server, name) -> list[str]:
    with connected(server, name) as db:
        return [row[0] for row in db.execute("SELECT name FROM person ORDER BY name").fetchall()]


def test_what_was_there_is_kept_under_another_name_and_no_scratch_is_left(server, own, tmp_path):
    before = databases(server)
    path = backed_up(own, tmp_path)
    assert databases(server) == before
    with connected(server, own.name) as db:
        db.execute("DELETE FROM person")

    kept = restored(own, path).kept

    aside = f"{own.name}_before_20260302t120000z"
    assert kept == f"the database {aside}"
    assert databases(server) == sorted([*before, aside])
    assert (len(names(server, own.name)), names(server, aside)) == (60, [])


def test_a_database_that_somebody_is_connected_to_is_not_replaced(server, own, tmp_path):
    path = backed_up(own, tmp_path)

    with connected(server, own.name) as other:
        with pytest.raises(Refused, match=r"The database is in use\. Stop the web processes"):
            restored(own, path)
        other.execute("DELETE FROM person WHERE name = 'Aé'")

    assert len(names(server, own.name)) == 59
    assert [name for name in databases(server) if "_tried_" in name] == []


def test_what_a_killed_run_has_left_on_the_server_is_dropped(server, own, tmp_path):
    with connected(server, "postgres") as db:
        db.execute(f"CREATE DATABASE {own.name}_tried_0badcafe")

    backed_up(own, tmp_path)

    assert f"{own.name}_tried_0badcafe" not in databases(server)


def test_a_second_run_on_the_same_server_is_refused(server, own, tmp_path):
    with connected(server, "postgres") as db:
        db.execute("SELECT pg_advisory_lock(7103220)")
        with pytest.raises(Refused, match="Another backup or restore is running"):
            backed_up(own, tmp_path)

    assert list(tmp_path.iterdir()) == []


def test_a_role_that_may_make_no_database_is_told_what_it_needs(server, own, tmp_path):
    with connected(server, "postgres") as db:
        db.execute(f"DROP ROLE IF EXISTS {own.name}")
        db.execute(f"CREATE ROLE {own.name} LOGIN")
        db.execute(f"ALTER DATABASE {own.name} OWNER TO {own.name}")
    with connected(server, own.name) as db:
        db.execute(f"ALTER TABLE person OWNER TO {own.name}")
    lowly = engine(server, own.name, user=own.name)

    with pytest.raises(Refused, match=f"ALTER ROLE {own.name} CREATEDB"):
        backed_up(lowly, tmp_path)
    assert list(tmp_path.iterdir()) == []
    assert backed_up(lowly, tmp_path, tried=False).name.endswith("-untried.tar.gz")

    with connected(server, "postgres") as db:
        db.execute(f"ALTER ROLE {own.name} CREATEDB")
    path = backed_up(lowly, tmp_path)
    assert len(names(server, own.name)) == 60
    restored(lowly, path)
    assert len(names(server, own.name)) == 60


def program(folder, name, script) -> None:
    file = folder / name
    file.write_text(f"#!/bin/sh\n{script}\n")
    file.chmod(0o755)


def test_a_missing_pg_dump_is_named(own, tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(
        Refused, match=r"pg_dump is not there\. Install PostgreSQL's client programs"
    ):
        backed_up(own, tmp_path / "backups")


def test_a_pg_dump_that_is_older_than_the_server_is_named(own, tmp_path, monkeypatch):
    program(tmp_path, "pg_dump", "echo 'pg_dump (PostgreSQL) 9.6.24'")
    monkeypatch.setenv("PATH", f"{tmp_path}:/bin:/usr/bin")

    with pytest.raises(Refused, match=r"pg_dump is of version 9 and the server of version 1\d"):
        backed_up(own, tmp_path / "backups")


@pytest.mark.parametrize(
    ("script", "said"),
    [
        ("echo 'pg_dump: error: could not write: No space left on device' >&2; exit 1",
         "the disk is full"),
        ("echo 'pg_dump: error: it broke' >&2; echo 'DETAIL: Marit' >&2; exit 1",
         "pg_dump did not succeed: it broke$"),
        ("kill -9 $$", "pg_dump did not succeed: it ended with -9$"),
    ],
)  # fmt: skip
def test_what_pg_dump_complains_of_is_told_without_a_row(own, tmp_path, monkeypatch, script, said):
    program(tmp_path, "pg_dump", f"[ $1 = --version ] && echo '(PostgreSQL) 99' && exit\n{script}")
    monkeypatch.setenv("PATH", f"{tmp_path}:/bin:/usr/bin")

    with pytest.raises(Refused, match=said):
        backed_up(own, tmp_path / "backups")
    assert list((tmp_path / "backups").iterdir()) == []


def test_a_pg_restore_that_gives_up_is_heard_in_spite_of_the_broken_pipe(tmp_path):
    program(tmp_path, "gives-up", "echo 'pg_restore: error: no such thing' >&2; exit 1")

    with pytest.raises(Refused, match="pg_restore did not succeed: no such thing"):
        pg_programs.feed([str(tmp_path / "gives-up")], "", [b"x" * 100_000] * 20)


def test_a_server_that_does_not_answer_is_a_sentence(tmp_path):
    with pytest.raises(Refused, match="the database server says: connection"):
        backed_up(engine(str(tmp_path), "clinic"), tmp_path / "backups")


def test_a_password_is_never_among_the_arguments(server, own):
    keyed = engine(
        server, own.name, PASSWORD="quiet-harbor", OPTIONS={"sslmode": "prefer", "pool": True}
    )

    assert "sslmode=prefer" in keyed.address("clinic")
    assert "quiet-harbor" not in keyed.address("clinic")
    process = pg_programs._start(["/bin/sh", "-c", "echo $PGPASSWORD"], "quiet-harbor", None,
                                 stdout=subprocess.PIPE)  # fmt: skip
    assert process.communicate()[0] == b"quiet-harbor\n"
