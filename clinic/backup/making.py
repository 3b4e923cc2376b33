"""A backup, from the database to a file that has been restored once."""

import contextlib
import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from clinic.backup import archive
from clinic.backup.folder import Part, alone_in, file_name, forget_old, free_moment
from clinic.backup.manifest import Manifest
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused, in_words
from clinic.backup.work import work_folder


@dataclass(frozen=True, kw_only=True)
class Order:
    """What a backup is to be."""

    folder: Path
    keep: int
    key: bytes | None = None
    work: Path | None = None
    tried: bool = True


@dataclass(frozen=True, kw_only=True)
class Made:
    """What it has become."""

    path: Path
    size: int
    manifest: Manifest
    forgotten: list[str]


def make(engine, order: Order, *, now: datetime.datetime, say: Progress) -> Made:
    """Copy, pack, restore the packed file elsewhere, compare; only then it gets a name and old ones go."""
    with alone_in(order.folder), _room(engine, order) as work:
        now = free_moment(order.folder, now)
        copy = work / "content"
        manifest = _copied(engine, copy, now=now, say=say)
        with _part(order.folder) as part:
            _pack(part, manifest, copy, order.key, say)
            if order.tried:
                _try_out(engine, part.path, order.key, work, say)
            name = file_name(now, tried=order.tried, enciphered=bool(order.key))
            path = part.become(name)
        forgotten = forget_old(order.folder, keep=order.keep)
        return Made(path=path, size=path.stat().st_size, manifest=manifest, forgotten=forgotten)


@contextlib.contextmanager
def _room(engine, order: Order) -> Iterator[Path]:
    with contextlib.ExitStack() as stack:
        with in_words("There is no place for the copy"):
            work = stack.enter_context(work_folder(order.work or engine.work_parent))
        yield work


def _copied(engine, copy: Path, *, now: datetime.datetime, say: Progress) -> Manifest:
    with in_words("The database can't be copied"), engine.snapshot() as snapshot:
        say.step("Reading the database …")
        content = snapshot.content(say)
        say.step("Copying it …")
        snapshot.copy(copy, say)
        return Manifest(
            made_at=now,
            engine=engine.engine,
            engine_version=snapshot.version,
            size=copy.stat().st_size,
            sha256=archive.digest_of(copy),
            content=content,
        )


@contextlib.contextmanager
def _part(folder: Path) -> Iterator[Part]:
    part = Part(folder)
    try:
        yield part
    finally:
        part.drop()


def _pack(part: Part, manifest: Manifest, copy: Path, key: bytes | None, say: Progress) -> None:
    say.step("Packing it …")
    with in_words("The backup can't be written"):
        with part.written() as sink:
            archive.pack(sink, manifest, copy, key, say)
        copy.unlink()


def _try_out(engine, path: Path, key: bytes | None, work: Path, say: Progress) -> None:
    say.step("Restoring it to see whether it comes back …")
    with (
        in_words("The backup can't be tried out"),
        archive.opened(path, key) as backup,
        engine.tried(backup.content(say), work, say) as tried,
    ):
        check(backup.manifest, tried.content())


def check(manifest: Manifest, content) -> None:
    """Raise Refused when what came back is not what the manifest says."""
    if told := manifest.content.differences(content):
        raise Refused("The copy is not what was copied: " + "; ".join(told))
