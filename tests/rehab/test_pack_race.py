"""Two desks watch the same packs being made ready, as two real processes on the same database."""

import json
import subprocess
import sys

import pytest
from django.db import connection

from rehab.models import Handout, Pack, PackRun
from tests.rehab.packs import DAY, USUAL, a_patient_of, sheets_in

pytestmark = pytest.mark.django_db(transaction=True)

PACKS = 8
DESK = """
import json, sys
import django
from django.conf import settings

django.setup()
settings.DATABASES["default"]["NAME"] = sys.argv[1]
settings.ALLOWED_HOSTS = ["*"]

from django.test import Client
from clinic.models import Staff

staff, run = json.loads(sys.argv[2])
client = Client(raise_request_exception=False, headers={"HX-Request": "true"})
client.force_login(Staff.objects.get(pk=staff))
print("ready", flush=True)
sys.stdin.readline()
codes, going = [], True
while going:
    answer = client.post(f"/packs/{run}/step/")
    codes.append(answer.status_code)
    going = answer.status_code == 200 and "HX-Redirect" not in answer.headers
print(json.dumps(codes), flush=True)
"""


def open_browser(staff, run):
    about = json.dumps([staff.pk, run.pk])
    process = subprocess.Popen(
        [sys.executable, "-c", DESK, str(connection.settings_dict["NAME"]), about],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline() == "ready\n"
    return process


def test_two_who_watch_the_same_run_hand_out_each_sheet_once(
    physiotherapist, front_desk, monkeypatch
):
    monkeypatch.setenv("DJANGO_SETTINGS_MODULE", "clinic.settings")
    patients = [a_patient_of(physiotherapist, hour=hour) for hour in range(8, 8 + PACKS)]
    asked = [(patient, USUAL) for patient in patients]
    run = PackRun.objects.begin(asked, day=DAY, two_sided=True, by=front_desk)
    desks = [open_browser(who, run) for who in (front_desk, physiotherapist)]

    try:
        for desk in desks:
            desk.stdin.write("go\n")
            desk.stdin.flush()
        codes = [json.loads(desk.stdout.readline()) for desk in desks]
    finally:
        for desk in desks:
            desk.communicate(timeout=10)

    assert {code for answers in codes for code in answers} == {200}
    assert Pack.objects.waiting().count() == 0
    sheets = ["appointment card", "home program", "diary page"]
    assert [sheets_in(pack) for pack in run.packs.with_sheets()] == [sheets] * PACKS
    assert Handout.objects.count() == PACKS * len(sheets)
