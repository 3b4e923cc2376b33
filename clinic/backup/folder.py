"""The folder that backups lie in: names that say when and nothing else, whole files only, the newest n."""

import contextlib
import datetime
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from clinic.backup.refusal import Refused, in_words
from clinic.backup.work import held

NAME = re.compile(r"clinic-(?P<when>\d{8}T\d{6}Z)(?P<untried>-untried)?\.tar\.gz(\.aes)?")
STAMP = "%Y%m%dT%H%M%SZ"
PART = ".clinic-part-"


def free_moment(folder: Path, now: datetime.datetime) -> datetime.datetime:
    """The next second after which no backup is named: nothing is overwritten."""
    taken = {match["when"] for path in folder.iterdir() if (match := NAME.fullmatch(path.name))}
    moment = now.astimezone(datetime.UTC).replace(microsecond=0)
    while f"{moment:{STAMP}}" in taken:
        moment += datetime.timedelta(seconds=1)
    return moment


def file_name(when: datetime.datetime, *, tried: bool, enciphered: bool) -> str:
    mark, ending = "" if tried else "-untried", ".aes" if enciphered else ""
    return f"clinic-{when:{STAMP}}{mark}.tar.gz{ending}"


@contextlib.contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Hold the folder against a second run, and take away what a killed one has left."""
    with contextlib.ExitStack() as stack:
        with in_words(f"{folder} can't be used for backups"):
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            mine = stack.enter_context(held(folder))
        if not mine:
            raise Refused(f"Another backup is being made in {folder}; this one leaves it alone.")
        with in_words(f"{folder} can't be used for backups"):
            for left in folder.glob(f"{PART}*"):
                left.unlink()
        yield


class Part:
    """A file that has no name yet by which it would be taken for a backup."""

    def __init__(self, folder: Path):
        self.path = folder / f"{PART}{os.getpid()}"

    @contextlib.contextmanager
    def written(self) -> Iterator[BinaryIO]:
        """Write it, readable for this account alone; afterwards it is on the disk."""
        handle = os.open(self.path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())

    def become(self, name: str) -> Path:
        """Give it its name."""
        named = self.path.rename(self.path.with_name(name))
        sync(named.parent)
        return named

    def drop(self) -> None:
        self.path.unlink(missing_ok=True)


def sync(folder: Path) -> None:
    """Bring a folder's names to the disk, so that they outlive a power cut."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def beyond(names: list[str], keep: int) -> list[str]:
    """Return which backups are more than the newest `keep`; those that were tried out count by themselves.

    So however many have failed to be tried since, the newest that was stays.
    """
    backups = sorted((match for name in names if (match := NAME.fullmatch(name))), key=_when)
    of_kind = [[one for one in backups if bool(one["untried"]) == untried] for untried in (0, 1)]
    return [one.string for kind in of_kind for one in kind[: max(len(kind) - keep, 0)]]


def newest(folder: Path) -> Path | None:
    """The newest backup, whether it was tried out or not."""
    names = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    found = sorted((match for name in names if (match := NAME.fullmatch(name))), key=_when)
    return folder / found[-1].string if found else None


def _when(match: re.Match[str]) -> str:
    return match["when"]


def forget_old(folder: Path, *, keep: int) -> list[str]:
    """Delete all but the newest `keep`, and return their names."""
    old = beyond([path.name for path in folder.iterdir()], keep)
    for name in old:
        (folder / name).unlink()
    return old
