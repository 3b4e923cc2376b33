"""Names, the newest n, and what a killed run has left."""

import datetime
import os

import pytest

from clinic.backup.folder import Part, alone_in, beyond, file_name, forget_old, free_moment
from clinic.backup.refusal import Refused
from clinic.backup.work import work_folder

NOON = datetime.datetime(2026, 3, 2, 12, 0, 0, 999, tzinfo=datetime.UTC)


def named(day: int, *, tried=True, enciphered=False) -> str:
    return file_name(NOON.replace(day=day), tried=tried, enciphered=enciphered)


def test_a_name_says_when_and_whether_it_was_tried_out_and_nothing_else():
    assert named(2) == "clinic-20260302T120000Z.tar.gz"
    assert named(2, tried=False, enciphered=True) == "clinic-20260302T120000Z-untried.tar.gz.aes"


@pytest.mark.parametrize(
    ("keep", "gone"), [(1, [1, 2, 3]), (2, [1, 2]), (3, [1]), (4, []), (9, [])]
)
def test_the_newest_stay(keep, gone):
    names = [named(day, enciphered=day % 2) for day in (3, 1, 4, 2)]

    assert beyond(names, keep) == [named(day, enciphered=day % 2) for day in gone]


def test_the_only_one_that_was_tried_out_stays_however_many_came_since():
    names = [named(1), *(named(day, tried=False) for day in range(2, 9))]

    assert beyond(names, 2) == [named(day, tried=False) for day in range(2, 7)]


def test_only_backups_are_deleted(tmp_path):
    others = [
        "notes.txt",
        "clinic.sqlite3",
        "clinic-20260101T000000Z.tar.gz.part",
        "clinic-1.tar.gz",
    ]
    for name in (*others, named(1), named(2)):
        (tmp_path / name).touch()

    assert forget_old(tmp_path, keep=1) == [named(1)]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*others, named(2)])


def test_two_backups_of_one_second_do_not_overwrite_each_other(tmp_path):
    (tmp_path / named(2)).touch()
    (tmp_path / "clinic-20260302T120001Z-untried.tar.gz.aes").touch()

    assert free_moment(tmp_path, NOON) == NOON.replace(second=2, microsecond=0)


def test_a_file_is_for_this_account_alone_and_has_its_name_only_when_it_is_whole(tmp_path):
    os.umask(umask := os.umask(0))
    part = Part(tmp_path)
    try:
        os.umask(0)
        with part.written() as file:
            file.write(b"half")
            during = [path.name for path in tmp_path.iterdir()]
    finally:
        os.umask(umask)
    path = part.become(named(2))

    assert during == [part.path.name]
    assert beyond([part.path.name] * 9, 1) == []
    assert [one.name for one in tmp_path.iterdir()] == [named(2)]
    assert (path.stat().st_mode & 0o777, path.read_bytes()) == (0o600, b"half")


def test_what_a_killed_run_has_left_is_taken_away(tmp_path):
    (tmp_path / ".clinic-part-123").touch()

    with alone_in(tmp_path):
        assert list(tmp_path.iterdir()) == []


def test_a_second_run_leaves_the_folder_to_the_first(tmp_path):
    with alone_in(tmp_path):
        (tmp_path / ".clinic-part-123").touch()
        with pytest.raises(Refused, match="Another backup is being made"), alone_in(tmp_path):
            pass

    assert [path.name for path in tmp_path.iterdir()] == [".clinic-part-123"]


def test_plain_copies_are_for_this_account_alone_and_gone_afterwards(tmp_path):
    with work_folder(tmp_path) as folder:
        mode = folder.stat().st_mode & 0o777
        (folder / "content").write_bytes(b"plain")

    assert (mode, list(tmp_path.iterdir())) == (0o700, [])


def test_plain_copies_of_a_killed_run_go_with_the_next_one_and_those_of_a_living_one_stay(tmp_path):
    left = tmp_path / "clinic-backup-work-killed"
    left.mkdir()
    (left / "content").write_bytes(b"plain")

    with work_folder(tmp_path) as first, work_folder(tmp_path) as second:
        assert sorted(tmp_path.iterdir()) == sorted([first, second])
