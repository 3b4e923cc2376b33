"""Commands that are stopped while they write, as processes of their own: what they leave behind."""

import contextlib
import os
import signal
import subprocess
import sys
import time

import pytest

from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_signed_visit
from tests.factories.clinic import create_manager, create_physiotherapist
from tests.operations.server import ROOT, database_url

pytestmark = pytest.mark.django_db(transaction=True)

LONGEST_S = 60
STOPPED = pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
LONG_NOTE = "Planing boards. " * 10_000


@contextlib.contextmanager
def running(*arguments):
    """The command as cron starts it, deaf to no signal; it is ended in any case."""
    process = subprocess.Popen(
        [sys.executable, "manage.py", *map(str, arguments)],
        cwd=ROOT,
        env=os.environ | {"DEBUG": "1", "DATABASE_URL": database_url()},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # What a shell starts in the background, as these tests may be, ignores Ctrl-C and hands that on.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def wait_for(found, process):
    until = time.monotonic() + LONGEST_S
    while not found() and process.poll() is None and time.monotonic() < until:
        time.sleep(0.002)


def stop(process, number):
    process.send_signal(number)
    told, complained = process.communicate(timeout=LONGEST_S)
    assert "Traceback" not in complained
    return told, process.returncode


@pytest.fixture
def manager():
    lead = create_physiotherapist()
    for _number in range(25):
        create_signed_visit(case=create_case(lead=lead), subjective=LONG_NOTE)
    return create_manager(clinic=lead.clinic)


@STOPPED
def test_cases_that_are_being_exported_leave_no_file(manager, tmp_path, number, code):
    folder = tmp_path / "cases"

    with running("export_cases", folder, "--clinic", manager.clinic_id) as process:
        wait_for(lambda: list(folder.glob("Condition*")), process)
        told, ended = stop(process, number)

    assert ended == code
    assert list(tmp_path.iterdir()) == []
    assert "%" not in told
    assert AuditEvent.objects.filter(verb="exported").exists()


@STOPPED
def test_a_backup_leaves_neither_a_file_nor_a_plain_copy(manager, tmp_path, number, code):
    folder, work = tmp_path / "backups", tmp_path / "work"
    work.mkdir()

    with running("backup", folder, "--work", work) as process:
        for line in process.stdout:
            if line.startswith("Restoring"):
                break
        assert list(folder.glob(".clinic-part-*"))
        _told, ended = stop(process, number)

    assert ended == code
    assert list(folder.iterdir()) == []
    assert list(work.iterdir()) == []
