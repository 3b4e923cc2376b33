"""The settings stop an unsafe start with a sentence that names the variable."""

import os
import shutil
import subprocess
import sys

import pytest
from django.conf import settings

SAFE = {
    "DEBUG": "0",
    "SECRET_KEY": "b7-kV2mQx9tRw4Zp8sLf1Nc6Yh3Gj5Td0Ea-Uo7Ik2Pb9Wv4Xz8Mq",
    "ALLOWED_HOSTS": "clinic.example.org",
    "DATABASE_URL": "sqlite://:memory:",
}


def check(**changes):
    """Run `check --deploy` with these variables and no others of ours."""
    variables = {name: value for name, value in (SAFE | changes).items() if value is not None}
    return subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=settings.BASE_DIR,
        env={"PATH": os.environ["PATH"]} | variables,
        capture_output=True,
        text=True,
    )


def test_the_check_for_production_is_clean_with_good_values():
    done = check()

    assert (done.returncode, done.stdout) == (
        0,
        "System check identified no issues (0 silenced).\n",
    ), done.stderr


def test_a_fresh_checkout_gets_the_folder_of_its_database(tmp_path):
    (tmp_path / "clinic").mkdir()
    shutil.copy(settings.BASE_DIR / "clinic" / "settings.py", tmp_path / "clinic")
    variables = {name: value for name, value in SAFE.items() if name != "DATABASE_URL"}

    subprocess.run(
        [sys.executable, "-c", "import clinic.settings"], cwd=tmp_path, env=variables, check=True
    )

    assert (tmp_path / "data").is_dir()


KEY = "SECRET_KEY must be a secret of at least 50 characters."
HOSTS = "ALLOWED_HOSTS must list the host names that this site answers to."


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"SECRET_KEY": None}, KEY),
        ({"SECRET_KEY": "b7-kV2mQx9tRw4Zp"}, KEY),
        ({"SECRET_KEY": "for-development-and-the-demo-only-never-for-patients"}, KEY),
        ({"ALLOWED_HOSTS": None}, HOSTS),
        ({"ALLOWED_HOSTS": "*"}, HOSTS),
        ({"ALLOWED_HOSTS": "clinic.example.org, *"}, HOSTS),
        ({"DEBUG": "maybe"}, "DEBUG='maybe' is neither 1 nor 0."),
        ({"INSECURE_HTTP": "perhaps"}, "INSECURE_HTTP='perhaps' is neither 1 nor 0."),
    ],
)
def test_an_unsafe_value_stops_the_start(changes, sentence):
    done = check(**changes)

    last = done.stderr.strip().splitlines()[-1]
    assert (done.returncode, last) == (
        1,
        f"django.core.exceptions.ImproperlyConfigured: {sentence}",
    )
