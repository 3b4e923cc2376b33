"""pg_dump and pg_restore: found, new enough, and heard when they complain."""

import contextlib
import os
import re
import shutil
import subprocess  # nosec B404 # pg_dump and pg_restore, found by their full paths
import tempfile
from collections.abc import Iterable
from typing import BinaryIO

from clinic.backup.progress import Progress
from clinic.backup.refusal import NO_ROOM, Refused

CLIENT = "PostgreSQL's client programs"


def find(program: str, *, server: int | None = None) -> str:
    """Return the path of a program; Refused when it is missing, or older than the server."""
    path = shutil.which(program)
    if path is None:
        raise Refused(f"{program} is not there. Install {CLIENT} and put them on the PATH.")
    said = subprocess.run([path, "--version"], capture_output=True, text=True, check=False).stdout  # noqa: S603 # nosec B603
    found = re.search(r"\(PostgreSQL\) (\d+)", said)
    if server and (not found or int(found[1]) < server):
        old = found[1] if found else "unknown"
        raise Refused(
            f"{program} is of version {old} and the server of version {server}. "
            f"Install {CLIENT} of version {server} and put them first on the PATH."
        )
    return path


def dump(
    arguments: list[str], password: str, grown: Iterable[int], total: int, say: Progress
) -> None:
    """Run pg_dump to its end; `grown` gives the size of its file so far."""
    with tempfile.TemporaryFile() as complaints:
        process = _start(arguments, password, complaints)
        try:
            for size in grown:
                say.share(size, total)
                if _ended(process):
                    break
        finally:
            process.kill()
            process.wait()
        _listen("pg_dump", process, complaints)


def feed(arguments: list[str], password: str, blocks: Iterable[bytes]) -> None:
    """Run pg_restore and give it the blocks."""
    with tempfile.TemporaryFile() as complaints:
        process = _start(arguments, password, complaints, stdin=subprocess.PIPE)
        try:
            _pour(blocks, process.stdin)
            process.wait()
        finally:
            process.kill()
            _close(process.stdin)
            process.wait()
        _listen("pg_restore", process, complaints)


def _start(arguments, password, complaints, **options) -> subprocess.Popen:
    # A password among the arguments could be read by everybody on the machine.
    secret = {"PGPASSWORD": password} if password else {}
    return subprocess.Popen(  # noqa: S603 # nosec B603 # the program was found by `find`
        arguments, env=os.environ | secret | {"LC_ALL": "C"}, stderr=complaints, **options
    )


def _ended(process: subprocess.Popen) -> bool:
    try:
        process.wait(timeout=0.2)
    except subprocess.TimeoutExpired:
        return False
    return True


def _pour(blocks: Iterable[bytes], pipe: BinaryIO) -> None:
    """Write all; where the program has gone away, its complaint says more than the broken pipe."""
    broken = False
    for block in blocks:
        try:
            broken or pipe.write(block)
        except BrokenPipeError:
            broken = True
    _close(pipe)


def _close(pipe: BinaryIO) -> None:
    with contextlib.suppress(BrokenPipeError):
        pipe.close()


def _listen(program: str, process: subprocess.Popen, complaints: BinaryIO) -> None:
    if process.returncode == 0:
        return
    complaints.seek(0)
    said = complaints.read(100_000).decode(errors="replace").strip().splitlines()
    if any("No space left on device" in line for line in said):
        raise Refused(NO_ROOM)
    # Never the whole of it: a row that failed is quoted there.
    line = next((line for line in said if "error:" in line), f"it ended with {process.returncode}")
    raise Refused(f"{program} did not succeed: {line.partition('error: ')[2] or line}")
