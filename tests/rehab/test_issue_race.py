"""Two physiotherapists press Issue at the same moment, as two real processes on the same database."""

import json
import subprocess
import sys

import pytest
from django.db import connection

from rehab.models import Program
from tests.factories.cases import create_case, create_clear_screening
from tests.factories.rehab import create_draft

pytestmark = pytest.mark.django_db(transaction=True)

CASES = 20
PHYSIO = """
import json, sys
import django
from django.conf import settings

django.setup()
settings.DATABASES["default"]["NAME"] = sys.argv[1]
settings.ALLOWED_HOSTS = ["*"]

from django.test import Client
from clinic.models import Staff

staff = json.loads(sys.argv[2])
client = Client(raise_request_exception=False)
client.force_login(Staff.objects.get(pk=staff))
print("ready", flush=True)
for line in sys.stdin:
    answer = client.post(f"/cases/{int(line)}/program/issue/")
    print(answer.status_code, answer.headers.get("Location"), flush=True)
"""


def open_browser(staff):
    process = subprocess.Popen(
        [
            sys.executable,
            "-c",
            PHYSIO,
            str(connection.settings_dict["NAME"]),
            json.dumps(staff.pk),
        ],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline() == "ready\n"
    return process


def press(browsers, case):
    """Let both press Issue at once; returns what each was answered."""
    for browser in browsers:
        browser.stdin.write(f"{case.pk}\n")
        browser.stdin.flush()
    return [browser.stdout.readline().strip() for browser in browsers]


def test_of_two_who_issue_at_once_one_program_comes_out(physiotherapist, monkeypatch):
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    cases = [create_case(lead=physiotherapist) for _number in range(CASES)]
    for case in cases:
        create_clear_screening(case=case)
        create_draft(case=case, version=1)
    browsers = [open_browser(physiotherapist) for _number in range(2)]

    try:
        answers = {case.pk: press(browsers, case) for case in cases}
    finally:
        for browser in browsers:
            browser.communicate(timeout=10)

    assert answers == {case.pk: [f"302 /cases/{case.pk}/"] * 2 for case in cases}
    issued = Program.objects.issued().not_ended().values_list("case", "version")
    assert sorted(issued) == [(case.pk, 1) for case in cases]
