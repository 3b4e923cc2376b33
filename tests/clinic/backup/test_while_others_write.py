"""A copy that is made while another process writes is one moment of the database."""

import contextlib
import os
import subprocess
import sys

import pytest
from django.conf import settings

from clinic.models import Clinic, ClosedDay
from tests.clinic.backup.clinic_to_copy import address, backup, run
from tests.clinic.backup.losing import lose_everything

pytestmark = pytest.mark.usefixtures("furnished")


@contextlib.contextmanager
def another_writes():
    """Yield while a process writes; the list then holds how much it wrote."""
    own = {"DATABASE_URL": address(), "DJANGO_SETTINGS_MODULE": "clinic.settings", "DEBUG": "1"}
    with subprocess.Popen(
        [sys.executable, "-m", "tests.clinic.backup.writer", str(Clinic.objects.get().pk)],
        cwd=settings.BASE_DIR,
        env=os.environ | own,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as writer:
        assert writer.stdout.readline() == "writing\n"
        yield (wrote := [])
        writer.stdin.close()
        wrote.append(int(writer.stdout.read()))


def closed(name: str) -> int:
    return ClosedDay.objects.filter(name=name).count()


def test_both_halves_of_each_transaction_are_in_the_copy_or_neither_is(tmp_path):
    with another_writes() as wrote:
        paths = [backup(tmp_path) for _time in range(3)]

    found = []
    for path in paths:
        lose_everything()
        run("restore", path)
        found.append((closed("one"), closed("other")))

    assert all(one == other for one, other in found)
    numbers = [one for one, _other in found]
    assert numbers == sorted(set(numbers)), "nothing was written between two backups"
    assert numbers[0] >= 50
    assert numbers[-1] <= wrote[0]
