"""What DEVELOPERS.md says to start from the tests' own folder can be started."""

import os
import re
import subprocess
import sys

import pytest

from tests.operations.server import ROOT

NAMED = re.findall(r"python -m (tests\.[\w.]+)", (ROOT / "DEVELOPERS.md").read_text())
MODULES = sorted(
    {f"{name}.__main__" if (ROOT / name.replace(".", "/")).is_dir() else name for name in NAMED}
)


def test_there_are_such_commands():
    assert "tests.browser.screenshots" in MODULES


@pytest.mark.parametrize("module", MODULES)
def test_it_finds_all_that_it_needs(module):
    """By itself it meets no settings that pytest has put in place before."""
    own = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}

    done = subprocess.run(
        [sys.executable, "-c", f"import {module}"], cwd=ROOT, env=own, stderr=subprocess.PIPE
    )

    assert done.returncode == 0, done.stderr.decode()
