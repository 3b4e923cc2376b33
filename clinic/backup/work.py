"""A folder for copies that nobody else may read; it goes with the run, or with the run after a killed one."""

import contextlib
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

PREFIX = "clinic-backup-work-"


@contextlib.contextmanager
def work_folder(parent: Path) -> Iterator[Path]:
    """Yield an empty folder in `parent`, of this account alone."""
    _sweep(parent)
    folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=parent))
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)  # held for as long as the run lives
        yield folder
    finally:
        os.close(handle)
        shutil.rmtree(folder, ignore_errors=True)


def _sweep(parent: Path) -> None:
    for left in parent.glob(f"{PREFIX}*"):
        if left.is_symlink() or left.stat().st_uid != os.geteuid():
            continue
        with held(left) as mine:
            if mine:
                shutil.rmtree(left, ignore_errors=True)


@contextlib.contextmanager
def held(folder: Path) -> Iterator[bool]:
    """Hold a folder against other runs; say whether that worked. A run that ends or dies lets go."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        yield _locked(handle)
    finally:
        os.close(handle)


def _locked(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
