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


MAIL = {"EMAIL_HOST": "mail.example.org", "EMAIL_FROM": "desk@clinic.example.org"}
READABLE = (
    "EMAIL_SECURITY=none lets others read names and times; only for a mail server on this machine."
)
BOTH = "EMAIL_USER and EMAIL_PASSWORD belong together: set both or neither."
FROM = "EMAIL_FROM must be the address that e-mail is sent from, as desk@clinic.example.org."
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
        ({"SIGN_IN_TRIES": "2"}, "SIGN_IN_TRIES='2' is no whole number from 3 to 100."),
        ({"SIGN_IN_WAIT": "0"}, "SIGN_IN_WAIT='0' is no whole number from 1 to 1440."),
        ({"SIGN_IN_WAIT": "an hour"}, "SIGN_IN_WAIT='an hour' is no whole number from 1 to 1440."),
        (
            {"DATABASE_POOL": "4"},
            "DATABASE_POOL is for PostgreSQL; SQLite has no connections.",
        ),
        (MAIL | {"EMAIL_SECURITY": "none"}, READABLE),
        (MAIL | {"EMAIL_HOST": "localhost.example.org", "EMAIL_SECURITY": "none"}, READABLE),
        (
            MAIL | {"EMAIL_SECURITY": "ssl"},
            "EMAIL_SECURITY='ssl' is none of starttls, tls, none.",
        ),
        (MAIL | {"EMAIL_PORT": "smtp"}, "EMAIL_PORT='smtp' is no port number from 1 to 65535."),
        (MAIL | {"EMAIL_PORT": "65536"}, "EMAIL_PORT='65536' is no port number from 1 to 65535."),
        (MAIL | {"EMAIL_PORT": "0"}, "EMAIL_PORT='0' is no port number from 1 to 65535."),
        (MAIL | {"EMAIL_USER": "desk"}, BOTH),
        (MAIL | {"EMAIL_PASSWORD": "a quiet harbor"}, BOTH),
        (MAIL | {"EMAIL_FROM": None}, FROM),
        (MAIL | {"EMAIL_FROM": "the desk"}, FROM),
        (
            {"EMAIL_FROM": "desk@clinic.example.org"},
            "EMAIL_FROM is set without EMAIL_HOST, so nothing would be sent.",
        ),
    ],
)
def test_an_unsafe_value_stops_the_start(changes, sentence):
    done = check(**changes)

    last = done.stderr.strip().splitlines()[-1]
    assert (done.returncode, last) == (
        1,
        f"django.core.exceptions.ImproperlyConfigured: {sentence}",
    )


MAIL_SETTINGS = (
    "from django.conf import settings as s; "
    "print(s.EMAIL_BACKEND.split('.')[-2], s.EMAIL_PORT, s.EMAIL_USE_TLS, s.EMAIL_USE_SSL, s.SENDS_EMAIL)"
)


@pytest.mark.parametrize(
    ("changes", "read"),
    [
        (MAIL, "smtp 587 True False True"),
        (MAIL | {"EMAIL_SECURITY": "tls"}, "smtp 465 False True True"),
        (
            MAIL | {"EMAIL_HOST": "127.0.0.1", "EMAIL_SECURITY": "none"},
            "smtp 25 False False True",
        ),
        (MAIL | {"EMAIL_PORT": "2525", "DEBUG": "1"}, "smtp 2525 True False True"),
        ({"DEBUG": "1"}, "console 587 True False True"),
        ({}, "dummy 587 True False False"),
    ],
)
def test_mail_is_encrypted_unless_the_server_is_on_this_machine(changes, read):
    done = subprocess.run(
        [sys.executable, "-c", MAIL_SETTINGS],
        cwd=settings.BASE_DIR,
        env={"PATH": os.environ["PATH"], "DJANGO_SETTINGS_MODULE": "clinic.settings"}
        | SAFE
        | changes,
        capture_output=True,
        text=True,
    )

    assert done.stdout.strip() == read, done.stderr


COOKIES = (
    "import django; django.setup(); from django.conf import settings as s; from clinic import typed; "
    "print(s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, typed.TYPIST_COOKIE, s.SESSION_COOKIE_SECURE, "
    "s.SESSION_COOKIE_DOMAIN, s.SESSION_COOKIE_PATH)"
)


# RFC 6265bis, 4.1.3 (from memory): the prefix "__Host-" asks for Secure, the path "/" and no domain.
@pytest.mark.parametrize(
    ("changes", "read"),
    [
        ({}, "__Host-sessionid __Host-csrftoken __Host-typist True None /"),
        ({"INSECURE_HTTP": "1"}, "sessionid csrftoken typist False None /"),
        ({"DEBUG": "1"}, "sessionid csrftoken typist False None /"),
    ],
)
def test_cookies_are_bound_to_this_host_over_https(changes, read):
    done = subprocess.run(
        [sys.executable, "-c", COOKIES],
        cwd=settings.BASE_DIR,
        env={"PATH": os.environ["PATH"], "DJANGO_SETTINGS_MODULE": "clinic.settings"}
        | SAFE
        | changes,
        capture_output=True,
        text=True,
    )

    assert done.stdout.strip() == read, done.stderr
