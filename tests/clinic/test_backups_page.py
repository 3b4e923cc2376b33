"""What a manager reads about the backups, and when the page warns."""

import datetime
import os
import re

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction
from django.utils import timezone

from clinic.models import AuditEvent, BackupRun
from tests.factories.clinic import create_clinic
from tests.postgres import find_programs

pytestmark = pytest.mark.django_db
PAGE = "/backups/"
HOUR = datetime.timedelta(hours=1)


def ran(hours_ago: float, **fields) -> BackupRun:
    began = timezone.now() - hours_ago * HOUR
    usual = {"name": "clinic-20260302T021500Z.tar.gz.aes", "size": 12_345_678, "tried": True}
    return BackupRun.objects.create(began_at=began, ended_at=began, **(usual | fields))


def lead(client) -> str:
    page = client.get(PAGE).content.decode()
    told = page.partition('<div class="lead">')[2].partition("</div>")[0]
    return " ".join(re.sub(r"<[^>]+>", "", told).split())


def test_a_backup_of_this_night_is_told_with_its_size(manager, signed_in):
    ran(25.9)

    told = lead(signed_in(manager))

    assert re.fullmatch(
        r"The last backup is of \d+ \w+ \d{4}, \d\d:\d\d, 11\.8 MB. "
        r"It was restored once, and every value was there.",
        told,
    )


@pytest.mark.parametrize(
    ("runs", "said"),
    [
        ([], "There is no backup that is known to come back."),
        ([(1, {"tried": False})], "There is no backup that is known to come back."),
        ([(1, {"name": "", "tried": False, "problem": "the disk is full"})], "There is no backup"),
        ([(26.1, {})], "The last backup is older than a day"),
        ([(26.1, {}), (1, {"tried": False})], "The last backup is older than a day"),
    ],
)
def test_the_page_warns_when_none_is_known_to_come_back_or_the_last_is_old(
    manager, signed_in, runs, said
):
    for hours_ago, fields in runs:
        ran(hours_ago, **fields)

    assert lead(signed_in(manager)).startswith(said)


def test_a_run_that_came_to_nothing_says_why(manager, signed_in):
    ran(1, name="", size=0, tried=False, problem="The backup can't be written: the disk is full.")

    page = signed_in(manager).get(PAGE).content.decode()

    assert re.search(
        r"The last try, of \d+ \w+ \d{4}, \d\d:\d\d, came to nothing: "
        r"The backup can&#x27;t be written: the disk is full.$",
        lead(signed_in(manager)),
    )
    assert "No backup was made." in page
    assert "The backup can&#x27;t be written: the disk is full." in page


def test_a_trail_that_did_not_hold_is_told_with_the_night_it_was_found(manager, signed_in):
    ran(25, trail="clinic 1: Entry 4, event 4, has been changed.")
    ran(1)

    told = lead(signed_in(manager))

    assert re.search(
        r"The backup of \d+ \w+ \d{4}, \d\d:\d\d, found that the audit trail does not hold: "
        r"clinic 1: Entry 4, event 4, has been changed. Unless a backup was restored",
        told,
    )
    assert told.startswith("The last backup is of")
    assert "The audit trail did not hold." in signed_in(manager).get(PAGE).content.decode()


def test_a_trail_that_holds_is_not_spoken_of(manager, signed_in):
    ran(1)

    assert "does not hold" not in lead(signed_in(manager))


def test_a_file_that_everybody_could_open_says_so(manager, signed_in):
    ran(1)
    assert "not encrypted" not in signed_in(manager).get(PAGE).content.decode()

    ran(0, name="clinic-20260302T021500Z.tar.gz")
    assert "not encrypted" in signed_in(manager).get(PAGE).content.decode()


@pytest.mark.parametrize(
    "wrong",
    [{"name": "", "problem": ""}, {"problem": "none"}, {"name": "", "problem": "x", "tried": True}],
)
def test_a_run_is_a_file_or_a_problem(db, wrong):
    with pytest.raises(IntegrityError, match="backup_has_a_file_or_a_problem"):
        ran(1, **wrong)


def test_what_became_of_a_run_stays(db):
    run = ran(1)

    with pytest.raises(IntegrityError, match="backup_run_stays"), transaction.atomic():
        BackupRun.objects.filter(pk=run.pk).update(tried=False)


@pytest.mark.parametrize("runs", [1, 3])
def test_the_page_costs_the_same_however_many_runs(
    manager, signed_in, runs, django_assert_num_queries
):
    for hour in range(runs):
        ran(hour)
    client = signed_in(manager)

    with django_assert_num_queries(3):
        client.get(PAGE)


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_reads_it(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status


@pytest.mark.django_db(transaction=True)
def test_the_command_notes_what_became_of_it(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", f"{find_programs()}{os.pathsep}{os.environ['PATH']}")
    clinics = [create_clinic(), create_clinic()]
    with pytest.raises(CommandError):
        call_command("backup", tmp_path, keep=0, verbosity=0)
    call_command("backup", tmp_path, verbosity=0)

    failed, made = BackupRun.objects.order_by("pk")
    (file,) = tmp_path.glob("clinic-*")
    assert (failed.name, failed.problem) == ("", "--keep must be 1 or more.")
    assert (made.name, made.size, made.tried) == (file.name, file.stat().st_size, True)
    events = AuditEvent.objects.order_by("clinic")
    assert [(event.clinic, event.verb, event.actor) for event in events] == [
        (clinic, "backed up", None) for clinic in clinics
    ]
