"""A file that only the key opens, written and read in one pass and with a few megabytes of memory.

Layout (all of it is here, so that it can be opened without this software):

    16 bytes  b"clinic-backup-1\\n"
    16 bytes  salt, random for each file
    16 bytes  mark of the key: tells a wrong key from a damaged file
    then      chunks of 1 MiB, the last one shorter or as long, each with its 16 bytes of tag behind it

The key file holds 64 hexadecimal figures, 32 bytes. HKDF with SHA-256 (RFC 5869) makes 48 bytes of them with
the salt and the first 16 bytes of the file as info: the key of the file and the mark. Each chunk is sealed
with AES-256-GCM (NIST SP 800-38D) with the first 48 bytes of the file beside it. Its nonce is its number from
0 in 11 bytes, the highest first, and one byte that is 1 for the last chunk and 0 for all others (the STREAM
construction of Hoang, Reyhanitabar, Rogaway and Vizár, CRYPTO 2015). So chunks that are missing, doubled, in
another order, cut off behind or added behind are refused.
"""

import io
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from clinic.backup.refusal import Refused, in_words

MAGIC = b"clinic-backup-1\n"
SALT, MARK, TAG = 16, 16, 16
HEAD = len(MAGIC) + SALT + MARK
CHUNK = 1024 * 1024
EDITED = "The file was cut short or changed since it was written; it is not used."


def read_key(path: Path) -> bytes:
    """Return the 32 bytes of a key file; Refused when it can't be read, is none, or others may read it."""
    with in_words("The key can't be read"):
        text = path.read_text(encoding="ascii", errors="replace").strip()
        mode = path.stat().st_mode
    if not re.fullmatch(r"[0-9a-fA-F]{64}", text):
        raise Refused(f"{path} is no key: it must hold 64 hexadecimal figures and nothing else.")
    if mode & 0o077:
        raise Refused(f"Others may read the key. Say: chmod 600 {path}")
    return bytes.fromhex(text)


class _Cipher:
    """What writer and reader share: the key of one file, and the number of the next chunk."""

    def __init__(self, key: bytes, salt: bytes):
        made = HKDF(SHA256(), length=32 + MARK, salt=salt, info=MAGIC).derive(key)
        self.head = MAGIC + salt + made[32:]
        self.aes = AESGCM(made[:32])
        self.number = 0

    def nonce(self, *, last: bool) -> bytes:
        number, self.number = self.number, self.number + 1
        return number.to_bytes(11, "big") + bytes([last])


class Enciphering(io.RawIOBase):
    """A file to write into; `finish` writes the last chunk, without which nothing can be read back."""

    def __init__(self, sink: BinaryIO, key: bytes):
        self.sink, self.cipher, self.waiting = sink, _Cipher(key, os.urandom(SALT)), bytearray()
        sink.write(self.cipher.head)

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:
        self.waiting += data
        while len(self.waiting) > CHUNK:  # a full chunk waits: it may be the last
            self._seal(bytes(self.waiting[:CHUNK]), last=False)
            del self.waiting[:CHUNK]
        return len(data)

    def finish(self) -> None:
        self._seal(bytes(self.waiting), last=True)

    def _seal(self, chunk: bytes, *, last: bool) -> None:
        nonce = self.cipher.nonce(last=last)
        self.sink.write(self.cipher.aes.encrypt(nonce, chunk, self.cipher.head))


class Deciphering(io.RawIOBase):
    """A file to read from; what it gives was sealed with the key, in this place."""

    def __init__(self, source: BinaryIO, key: bytes):
        head = source.read(HEAD)
        if len(head) < HEAD:
            raise Refused(EDITED)
        self.cipher = _Cipher(key, head[len(MAGIC) : len(MAGIC) + SALT])
        if head != self.cipher.head:
            raise Refused("This is not the key that the file was written with.")
        self.chunks, self.rest = self._opened(source), memoryview(b"")

    def _opened(self, source: BinaryIO) -> Iterator[bytes]:
        sealed = source.read(CHUNK + TAG)
        while True:
            following = source.read(CHUNK + TAG)
            yield self._open(sealed, last=not following)
            if not following:
                return
            sealed = following

    def _open(self, sealed: bytes, *, last: bool) -> bytes:
        try:
            return self.cipher.aes.decrypt(self.cipher.nonce(last=last), sealed, self.cipher.head)
        except (InvalidTag, ValueError) as error:
            raise Refused(EDITED) from error

    def readable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        if not self.rest:
            self.rest = memoryview(next(self.chunks, b""))
        taken = self.rest[: len(buffer)]
        buffer[: len(taken)] = taken
        self.rest = self.rest[len(taken) :]
        return len(taken)
