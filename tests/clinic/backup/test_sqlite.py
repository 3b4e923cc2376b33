"""What is SQLite's own: a file that is in use, one that is damaged, and a copy that opens by itself."""

import datetime
import shutil
import sqlite3
import tarfile
from pathlib import Path

import pytest

from clinic.backup.engines import engine_of
from clinic.backup.making import Order, make
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused
from clinic.backup.restoring import restore

NOW = datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC)
QUIET = Progress.silent()
ROWS = 3000


@pytest.fixture
def place(tmp_path):
    """A small database in the way ours is kept, with its log beside it."""
    path = tmp_path / "data" / "clinic.sqlite3"
    path.parent.mkdir()
    db = sqlite3.connect(path)
    db.executescript(
        "PRAGMA journal_mode=WAL;"
        "CREATE TABLE person (id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT, picture BLOB);"
        "CREATE TABLE visit (id INTEGER PRIMARY KEY, person_id INTEGER REFERENCES person (id));"
    )
    pictures = [(f"name {number}", bytes([number % 256]) * 5000) for number in range(ROWS)]
    db.executemany("INSERT INTO person (name, picture) VALUES (?, ?)", pictures)
    db.commit()
    db.close()
    return path


def engine(place):
    return engine_of({"ENGINE": "django.db.backends.sqlite3", "NAME": str(place)})


def backed_up(place, say=QUIET, **options):
    order = Order(folder=place.parent.parent / "backups", keep=9, **options)
    return make(engine(place), order, now=NOW, say=say).path


def restored(place, path, *, replace=True):
    return restore(engine(place), path, None, replace=replace, now=NOW, say=QUIET)


def count(path) -> int:
    db = sqlite3.connect(path)
    try:
        return db.execute("SELECT count(*) FROM person").fetchone()[0]
    finally:
        db.close()


def add(place) -> None:
    db = sqlite3.connect(place)
    with db:
        db.execute("INSERT INTO person (name) VALUES ('late')")
    db.close()


class WritesMeanwhile(Progress):
    """Somebody writes each time that the copy has come further."""

    def __init__(self, place):
        super().__init__(QUIET.out, quiet=True)
        self.place, self.wrote = place, 0

    def share(self, done: int, total: int) -> None:
        add(self.place)
        self.wrote += 1


def test_what_is_written_while_the_copy_is_made_is_not_in_it_and_nobody_waits(place):
    say = WritesMeanwhile(place)

    path = backed_up(place, say)
    kept = restored(place, path).kept

    assert say.wrote > 5
    assert (count(place), count(kept)) == (ROWS, ROWS + say.wrote)


def test_a_backup_without_a_key_opens_with_tar_and_sqlite_alone(place, tmp_path):
    with tarfile.open(backed_up(place)) as tar:
        tar.extract("content", tmp_path, filter="data")

    db = sqlite3.connect(f"file:{tmp_path / 'content'}?immutable=1", uri=True)
    assert db.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert db.execute("SELECT count(*) FROM person").fetchone() == (ROWS,)
    db.close()


def test_no_plain_copy_is_left_lying_about(place, tmp_path):
    path = backed_up(place)
    restored(place, path)

    kept = place.with_name("clinic-before-20260302T120000Z.sqlite3")
    assert sorted(one for one in tmp_path.rglob("*") if one.is_file()) == sorted(
        [path, kept, place]
    )


def test_a_database_that_somebody_has_open_is_not_replaced(place):
    path = backed_up(place)
    other = sqlite3.connect(place)
    other.execute("SELECT count(*) FROM person").fetchone()

    with pytest.raises(Refused, match=r"The database is in use\. Stop the web processes"):
        restored(place, path)
    other.execute("INSERT INTO person (name) VALUES ('late')")
    other.commit()
    other.close()

    assert count(place) == ROWS + 1
    restored(place, path)
    assert count(place) == ROWS


def test_the_log_of_a_process_that_was_killed_goes_aside_with_its_database(place, tmp_path):
    path = backed_up(place)
    living = sqlite3.connect(place)
    with living:
        living.execute("INSERT INTO person (name) VALUES ('late')")
    crashed = tmp_path / "crashed"
    shutil.copytree(place.parent, crashed)  # as the disk is found after a power cut: with a log
    living.close()
    place = crashed / place.name
    assert place.with_name("clinic.sqlite3-wal").stat().st_size > 0

    kept = restored(place, path).kept

    assert (count(place), count(kept)) == (ROWS, ROWS + 1)


def test_a_damaged_database_is_found_and_the_backup_before_takes_its_place(place):
    path = backed_up(place)
    data = bytearray(place.read_bytes())
    data[20_000:60_000] = b"\xff" * 40_000
    place.write_bytes(data)

    with pytest.raises(Refused, match="damaged"):
        backed_up(place)
    with pytest.raises(Refused, match=r"can't be read\. With --replace"):
        restored(place, path, replace=False)
    kept = restored(place, path).kept

    assert [one.name for one in path.parent.iterdir()] == [path.name]
    # But for the first page, where SQLite notes that the log has been brought in.
    assert (count(place), Path(kept).read_bytes()[4096:]) == (ROWS, bytes(data[4096:]))


@pytest.mark.parametrize("kind", ["index", "reference"])
def test_damage_that_no_row_shows_is_found(place, kind):
    db = sqlite3.connect(place)
    if kind == "reference":
        db.execute("INSERT INTO visit VALUES (1, 99999)")
    else:
        db.execute("CREATE INDEX by_name ON person (name)")
        db.execute("PRAGMA writable_schema=ON")
        # The index says what it never held: rows that the table has are missing in it.
        db.execute("UPDATE sqlite_master SET sql = 'CREATE INDEX by_name ON person (name || 1)' "
                   "WHERE name = 'by_name'")  # fmt: skip
    db.commit()
    db.close()

    with pytest.raises(Refused, match=r"damaged|points to a row of person that is gone"):
        backed_up(place)


def test_without_a_database_there_is_no_backup_and_none_is_made(tmp_path):
    gone = tmp_path / "data" / "gone.sqlite3"
    gone.parent.mkdir()

    with pytest.raises(Refused, match="There is no database at"):
        backed_up(gone)
    assert not gone.exists()


def test_a_database_of_another_kind_is_not_backed_up():
    with pytest.raises(Refused, match=r"There is no backup for django\.db\.backends\.oracle"):
        engine_of({"ENGINE": "django.db.backends.oracle", "NAME": "x"})
