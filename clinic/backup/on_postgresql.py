"""Copies of a PostgreSQL database while others write to it, and a copy put in its place.

The copy is restored into a database of its own. When it is to take the place of the clinic's, the two change
their names in one transaction, so there is no moment with half of it.
"""

import contextlib
import itertools
import secrets
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

import psycopg
from psycopg import sql

from clinic.backup import pg_programs
from clinic.backup.content import OF_THE_PROGRAM, Content
from clinic.backup.pg_content import content_of, tables_of
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused, in_words

# The database to be connected to while others are made, renamed and dropped.
MAINTENANCE = "postgres"
LOCK = 7_103_220  # any number of our own: one backup or restore at a time on one server


class Postgres:
    """One database of a server."""

    engine = "postgresql"

    def __init__(self, settings: dict):
        known = {option.keyword.decode() for option in psycopg.pq.Conninfo.get_defaults()}
        options = {
            name: value for name, value in settings.get("OPTIONS", {}).items() if name in known
        }
        names = {"user": "USER", "password": "PASSWORD", "host": "HOST", "port": "PORT"}  # nosec B105 # names of settings
        given = {ours: settings[theirs] for ours, theirs in names.items() if settings.get(theirs)}
        self.parameters, self.name = options | given, settings["NAME"]

    @property
    def work_parent(self) -> Path:
        return Path(tempfile.gettempdir())

    @property
    def password(self) -> str:
        return self.parameters.get("password", "")

    def address(self, name: str) -> str:
        """What the programs connect to; the password is none of it."""
        parameters = {key: value for key, value in self.parameters.items() if key != "password"}
        return psycopg.conninfo.make_conninfo(**parameters, dbname=name)

    @contextlib.contextmanager
    def connected(self, name: str) -> Iterator[psycopg.Connection]:
        with contextlib.closing(
            psycopg.connect(**self.parameters, dbname=name, autocommit=True)
        ) as db:
            yield db

    @contextlib.contextmanager
    def snapshot(self) -> Iterator["Snapshot"]:
        """The database as it is at this moment, whatever others write meanwhile; they do not wait."""
        with self.connected(self.name) as db:
            program = pg_programs.find("pg_dump", server=db.info.server_version // 10_000)
            db.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield Snapshot(self, db, program)

    @contextlib.contextmanager
    def tried(self, blocks: Iterable[bytes], work: Path, say: Progress) -> Iterator["Tried"]:
        """Restore a copy into a database of its own, which is gone afterwards."""
        program = pg_programs.find("pg_restore")
        with self.connected(MAINTENANCE) as db:
            alone(db)
            sweep(db, self.name)
            name = scratch_name(self.name) + secrets.token_hex(4)
            create(db, name, like=self.name)
            try:
                flags = ["--no-owner", "--no-privileges", "--exit-on-error", "--single-transaction"]
                arguments = [program, *flags, f"--dbname={self.address(name)}"]
                pg_programs.feed(arguments, self.password, blocks)
                yield Tried(self, db, name, say)
            finally:
                db.execute(sql.SQL("DROP DATABASE IF EXISTS {}").format(sql.Identifier(name)))

    def is_free(self) -> bool:
        """Whether there is no database of that name, or one that holds nothing."""
        with in_words("The database can't be looked at"), self.connected(MAINTENANCE) as db:
            if not exists(db, self.name):
                return True
        with in_words("The database can't be looked at"), self.connected(self.name) as db:
            return not any(
                db.execute(sql.SQL("SELECT 1 FROM {} LIMIT 1").format(table)).fetchone()
                for label, table in tables_of(db)
                if label not in OF_THE_PROGRAM
            )


class Snapshot:
    """One moment of the database, read through one transaction that pg_dump takes part in."""

    def __init__(self, of: Postgres, db: psycopg.Connection, program: str):
        self.of, self.db, self.program = of, db, program
        self.version = db.info.parameter_status("server_version")

    def content(self, say: Progress) -> Content:
        return content_of(self.db, say)

    def copy(self, path: Path, say: Progress) -> None:
        moment = self.db.execute("SELECT pg_export_snapshot()").fetchone()[0]
        total = self.db.execute("SELECT pg_database_size(current_database())").fetchone()[0]
        path.touch(mode=0o600)
        # What is packed afterwards as a whole is not packed by pg_dump first.
        flags = ["--format=custom", "--compress=0", f"--snapshot={moment}", f"--file={path}"]
        arguments = [self.program, *flags, f"--dbname={self.of.address(self.of.name)}"]
        grown = (path.stat().st_size for _time in itertools.count())
        pg_programs.dump(arguments, self.of.password, grown, total, say)


class Tried:
    """A copy that has been restored beside the database."""

    def __init__(self, of: Postgres, db: psycopg.Connection, name: str, say: Progress):
        self.of, self.db, self.name, self.say = of, db, name, say

    def content(self) -> Content:
        with self.of.connected(self.name) as db:
            return content_of(db, self.say)

    def take_place(self, *, aside: str) -> str:
        """Become the database; what was there is renamed, and its new name returned."""
        kept = f"{self.of.name[:40]}_{aside}".replace("-", "_").lower()
        there = exists(self.db, self.of.name)
        try:
            with self.db.transaction():
                if there:
                    rename(self.db, self.of.name, kept)
                rename(self.db, self.name, self.of.name)
        except psycopg.errors.ObjectInUse as error:
            raise Refused(
                "The database is in use. Stop the web processes, then restore."
            ) from error
        return f"the database {kept}" if there else ""


def alone(db: psycopg.Connection) -> None:
    """Hold the server against a second run, until the connection ends."""
    if not db.execute("SELECT pg_try_advisory_lock(%s)", [LOCK]).fetchone()[0]:
        raise Refused("Another backup or restore is running on this server.")


def scratch_name(name: str) -> str:
    return f"{name[:40]}_tried_"


def sweep(db: psycopg.Connection, name: str) -> None:
    """Drop what a killed run has left; nobody else is at it."""
    left = "SELECT datname FROM pg_database WHERE starts_with(datname, %s)"
    for (scratch,) in db.execute(left, [scratch_name(name)]).fetchall():
        db.execute(sql.SQL("DROP DATABASE {}").format(sql.Identifier(scratch)))


def create(db: psycopg.Connection, name: str, *, like: str) -> None:
    """Make an empty database that sorts and compares text as another does, if that is there."""
    found = db.execute("SELECT datcollate, datctype FROM pg_database WHERE datname = %s", [like])
    locale = found.fetchone()
    statement = sql.SQL("CREATE DATABASE {} TEMPLATE template0 ENCODING 'UTF8'").format(
        sql.Identifier(name)
    )
    if locale:
        statement += sql.SQL(" LC_COLLATE {} LC_CTYPE {}").format(*map(sql.Literal, locale))
    try:
        db.execute(statement)
    except psycopg.errors.InsufficientPrivilege as error:
        raise Refused(
            f"{db.info.user} may not create a database to try the backup in. Let an administrator say: "
            f"ALTER ROLE {db.info.user} CREATEDB"
        ) from error


def exists(db: psycopg.Connection, name: str) -> bool:
    return bool(db.execute("SELECT 1 FROM pg_database WHERE datname = %s", [name]).fetchone())


def rename(db: psycopg.Connection, old: str, new: str) -> None:
    statement = sql.SQL("ALTER DATABASE {} RENAME TO {}")
    db.execute(statement.format(sql.Identifier(old), sql.Identifier(new)))
