"""The file of a backup: a gzipped tar of the manifest and the copy, under the cipher where there is a key.

Without a key `tar xzf` opens it: `manifest.json`, and `content`, an SQLite file or an archive of pg_dump.
"""

import contextlib
import gzip
import hashlib
import io
import tarfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from clinic.backup.cipher import EDITED, MAGIC, Deciphering, Enciphering
from clinic.backup.manifest import Manifest
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused

BLOCK = 1024 * 1024
DAMAGED = (tarfile.TarError, EOFError, zlib.error, gzip.BadGzipFile)


def digest_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def pack(sink: BinaryIO, manifest: Manifest, copy: Path, key: bytes | None, say: Progress) -> None:
    """Write the backup of `copy` into `sink`."""
    outer = Enciphering(sink, key) if key else sink
    with (
        gzip.GzipFile(fileobj=outer, mode="wb", compresslevel=1, filename="", mtime=0) as packed,
        tarfile.open(fileobj=packed, mode="w|", bufsize=BLOCK) as tar,
        copy.open("rb") as file,
    ):
        text = manifest.as_json()
        tar.addfile(_member("manifest.json", len(text), manifest), io.BytesIO(text))
        member = _member("content", manifest.size, manifest)
        tar.addfile(member, _Watched(file, manifest.size, say))
    if key:
        outer.finish()


def _member(name: str, size: int, manifest: Manifest) -> tarfile.TarInfo:
    member = tarfile.TarInfo(name)
    member.size, member.mode, member.mtime = size, 0o600, int(manifest.made_at.timestamp())
    return member


class _Watched:
    """A file whose reading is told."""

    def __init__(self, file: BinaryIO, size: int, say: Progress):
        self.file, self.size, self.say = file, size, say

    def read(self, size: int = -1) -> bytes:
        self.say.share(self.file.tell(), self.size)
        return self.file.read(size)


class Opened:
    """A backup that is being read: its manifest, then once its content."""

    def __init__(self, tar: tarfile.TarFile, packed: gzip.GzipFile, outer: BinaryIO):
        self.tar, self.packed, self.outer = tar, packed, outer
        self.manifest = Manifest.from_json(self._next("manifest.json").read(BLOCK))

    def _next(self, name: str) -> BinaryIO:
        member = self.tar.next()
        if member is None or member.name != name:
            raise Refused("This is no backup that this software wrote.")
        return self.tar.extractfile(member)

    def content(self, say: Progress) -> Iterator[bytes]:
        """Yield the copy; Refused at its end when it is not what was written."""
        file, digest, done = self._next("content"), hashlib.sha256(), 0
        while block := file.read(BLOCK):
            digest.update(block)
            done += len(block)
            say.share(done, self.manifest.size)
            yield block
        self._read_to_the_end()
        if digest.hexdigest() != self.manifest.sha256:
            raise Refused(EDITED)

    def _read_to_the_end(self) -> None:
        """What stands behind the copy counts too: the marks of the tar, of gzip, and of the last chunk."""
        if self.tar.next() is not None:
            raise Refused(EDITED)
        for file in (self.packed, self.outer):
            while file.read(BLOCK):
                pass


@contextlib.contextmanager
def opened(path: Path, key: bytes | None) -> Iterator[Opened]:
    """Open a backup to read; whatever is wrong with it is Refused."""
    try:
        with contextlib.ExitStack() as stack:
            outer = _inside(stack.enter_context(path.open("rb")), key)
            packed = stack.enter_context(gzip.GzipFile(fileobj=outer, mode="rb"))
            tar = stack.enter_context(tarfile.open(fileobj=packed, mode="r|", bufsize=BLOCK))
            yield Opened(tar, packed, outer)
    except DAMAGED as error:
        raise Refused(EDITED) from error


def _inside(source: BinaryIO, key: bytes | None) -> BinaryIO:
    enciphered = source.read(len(MAGIC)) == MAGIC
    source.seek(0)
    if enciphered and key is None:
        raise Refused("The backup needs its key: say --key-file.")
    if key and not enciphered:
        raise Refused("The backup was written without a key; leave --key-file out.")
    return Deciphering(source, key) if enciphered else source
