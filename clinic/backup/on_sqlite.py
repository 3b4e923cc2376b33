"""Copies of an SQLite file while others write to it, and a copy put in its place."""

import contextlib
import hashlib
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator
from pathlib import Path

from clinic.backup.content import CHAIN, HEADS, OF_THE_PROGRAM, Content, heads
from clinic.backup.folder import sync
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused, in_words

PAGES = 2048  # copied in one go, 8 MB; then the progress is told
COMPANIONS = ("", "-wal", "-shm")


class Sqlite:
    """The database in a file."""

    engine = "sqlite"

    def __init__(self, settings: dict):
        self.path = Path(settings["NAME"])

    @property
    def work_parent(self) -> Path:
        """Plain copies lie where the plain database lies anyway."""
        return self.path.parent

    @contextlib.contextmanager
    def snapshot(self) -> Iterator["Snapshot"]:
        """The database as it is at this moment, whatever others write meanwhile; they do not wait."""
        if not self.path.is_file():
            raise Refused(f"There is no database at {self.path}.")
        with connected(self.path) as db:
            with in_words("The database can't be read"):
                db.execute("BEGIN")
                db.execute("SELECT * FROM sqlite_master").fetchone()  # from here on it stands still
            yield Snapshot(db)

    @contextlib.contextmanager
    def tried(self, blocks: Iterable[bytes], work: Path, say: Progress) -> Iterator["Tried"]:
        """Restore a copy into a file of its own, as the clinic's database would be."""
        path = work / "tried.sqlite3"
        with path.open("wb") as file:
            file.writelines(blocks)
        yield Tried(path, self.path, say)

    def is_free(self) -> bool:
        """Whether there is no database, or one that holds nothing; what can't be read may hold anything."""
        if not self.path.exists():
            return True
        try:
            with connected(self.path) as db:
                return not any(
                    db.execute(f'SELECT 1 FROM "{table}" LIMIT 1').fetchone()  # noqa: S608 # nosec B608
                    for (table,) in db.execute(TABLES).fetchall()
                    if table not in OF_THE_PROGRAM
                )
        except sqlite3.Error:
            return False


class Snapshot:
    """One moment of the database, read through one transaction."""

    version = sqlite3.sqlite_version

    def __init__(self, db: sqlite3.Connection):
        self.db = db

    def content(self, say: Progress) -> Content:
        return content_of(self.db, say)

    def copy(self, path: Path, say: Progress) -> None:
        """Copy it with SQLite's online backup, which reads through the same transaction."""
        with contextlib.closing(sqlite3.connect(path)) as target:
            self.db.backup(
                target,
                pages=PAGES,
                progress=lambda _status, left, total: say.share(total - left, total),
            )
            target.execute("PRAGMA journal_mode=DELETE")  # one file, without companions


class Tried:
    """A copy that has been restored beside the database."""

    def __init__(self, path: Path, place: Path, say: Progress):
        self.path, self.place, self.say = path, place, say

    def content(self) -> Content:
        """Read it back; Refused when SQLite finds a page or a reference that is wrong."""
        with in_words("The copy can't be read back"), connected(self.path) as db:
            wrong = [row[0] for row in db.execute("PRAGMA integrity_check(1)")]
            if wrong != ["ok"]:
                raise Refused(f"The database is damaged: {wrong[0]}")
            if stray := db.execute("PRAGMA foreign_key_check").fetchone():
                raise Refused(f"A row of {stray[0]} points to a row of {stray[2]} that is gone.")
            return content_of(db, self.say)

    def take_place(self, *, aside: str) -> str:
        """Become the database; what was there is renamed, and its new path returned."""
        with connected(self.path) as db:
            # Left to the web processes, many that start at once would trip over this.
            db.execute("PRAGMA journal_mode=WAL")
        there = self.place.exists()
        same_owner(self.path, self.place if there else self.place.parent)
        kept = self.place.with_name(f"{self.place.stem}-{aside}{self.place.suffix}")
        with ours_alone(self.place) if there else contextlib.nullcontext():
            if there:
                keep_aside(self.place, kept)
            self.path.replace(self.place)
            sync(self.place.parent)
        return str(kept) if there else ""


def same_owner(path: Path, model: Path) -> None:
    """The web processes must be able to open what an administrator has restored."""
    path.chmod(0o600)
    if os.geteuid() == 0:
        os.chown(path, model.stat().st_uid, model.stat().st_gid)


def keep_aside(place: Path, kept: Path) -> None:
    """Give a database a second name. Its log must not stay behind: it would be taken for the new one's."""
    for ending in COMPANIONS:
        with contextlib.suppress(FileNotFoundError):
            os.link(f"{place}{ending}", f"{kept}{ending}")
    for ending in COMPANIONS[1:]:
        Path(f"{place}{ending}").unlink(missing_ok=True)


@contextlib.contextmanager
def connected(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a file that must be there."""
    address = f"{path.resolve().as_uri()}?mode=rw"
    db = sqlite3.connect(address, uri=True, isolation_level=None, timeout=10)
    with contextlib.closing(db):
        yield db


@contextlib.contextmanager
def ours_alone(path: Path) -> Iterator[None]:
    """Hold a database that nobody else has open; Refused when somebody has. A damaged one is nobody's."""
    with contextlib.ExitStack() as stack:
        try:
            db = stack.enter_context(connected(path))
            db.execute("PRAGMA busy_timeout=2000")
            # Leaving the write-ahead log needs the file alone, and brings what is in the log into the file.
            db.execute("PRAGMA journal_mode=DELETE")
            db.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            if "locked" in str(error):
                raise Refused(
                    "The database is in use. Stop the web processes, then restore."
                ) from error
        except sqlite3.DatabaseError:
            stack.close()
        yield


def content_of(db: sqlite3.Connection, say: Progress) -> Content:
    """Read every value of every table in the order of its key, and the rules beside them."""
    digest, counts = hashlib.sha256(), {}
    rules = "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name"
    _feed(digest, db.execute(rules))
    tables = [row[0] for row in db.execute(TABLES)]
    for number, table in enumerate(tables):
        say.share(number, len(tables))
        _feed(digest, [[table]])
        counts[table] = _feed(digest, db.execute(_all_of(db, table)))
    read = "SELECT app, name FROM django_migrations ORDER BY app, name"
    applied = db.execute(read) if "django_migrations" in tables else ()
    return Content(
        counts=counts,
        digest=digest.hexdigest(),
        migrations=tuple(applied),
        heads=heads(db.execute(HEADS) if CHAIN in counts else ()),
    )


TABLES = (
    "SELECT name FROM sqlite_master WHERE type = 'table' "
    "AND (name NOT LIKE 'sqlite_%' OR name = 'sqlite_sequence') ORDER BY name"
)


def _all_of(db: sqlite3.Connection, table: str) -> str:
    columns = db.execute("SELECT name, pk FROM pragma_table_info(?) WHERE pk ORDER BY pk", [table])
    order = ", ".join(f'"{name}"' for name, _place in columns) or "1"
    return f'SELECT * FROM "{table}" ORDER BY {order}'  # noqa: S608 # nosec B608 # names that the database gave


def _feed(digest, rows: Iterable) -> int:
    number = 0
    for row in rows:
        digest.update(json.dumps(row, default=_bytes_digest).encode() + b"\n")
        number += 1
    return number


def _bytes_digest(value: bytes) -> str:
    return f"sha256 {hashlib.sha256(value).hexdigest()}"
